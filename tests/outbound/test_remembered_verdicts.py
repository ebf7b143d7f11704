"""What is remembered of a check: read once while nothing changes; no forgeries."""

import os
import stat
from pathlib import Path

import pytest
from outbound_pages import page_pdf
from test_whole_folders import locked_pdf

from packets.base.secret import Secret
from packets.identifiers.kinds import Kind, KnownNumber, MaskPolicy
from packets.outbound import folder as folder_module
from packets.outbound.folder import FolderJudge, check_path
from packets.outbound.records import Judgement, Verdict
from packets.outbound.remembered import RecordFolder
from packets.outbound.rule_version import rule_version

KNOWN = (KnownNumber(Kind.SSN, Secret("000123456")),)
OTHER = (KnownNumber(Kind.ACCOUNT, Secret("5550001234")),)


@pytest.fixture
def client(tmp_path: Path) -> Path:
    (tmp_path / "outbound").mkdir()
    (tmp_path / "outbound" / "clean.txt").write_text("Dear client, here is your copy.")
    (tmp_path / "outbound" / "held.txt").write_text("the number is 666-12-3457")
    (tmp_path / "outbound" / "a.pdf").write_bytes(page_pdf())
    return tmp_path


@pytest.fixture
def read(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the files that were read, not remembered."""
    names: list[str] = []
    plain = FolderJudge.read

    def listening(self: FolderJudge, entry: object, *more: object) -> Verdict:
        names.append(entry.name)  # type: ignore[attr-defined]
        return plain(self, entry, *more)  # type: ignore[arg-type]

    monkeypatch.setattr(FolderJudge, "read", listening)
    return names


def checked(
    client: Path, known: tuple[KnownNumber, ...] = KNOWN, **how: object
) -> tuple[Verdict, ...]:
    record = RecordFolder(client / "record")
    return check_path(
        client / "outbound",
        known=known,
        policy=MaskPolicy(),
        record=record,
        **how,  # type: ignore[arg-type]
    )


def test_an_unchanged_folder_is_not_read_again(client: Path, read: list[str]) -> None:
    first = checked(client)
    assert len(read) == 3
    assert checked(client) == first
    assert len(read) == 3


def test_only_what_has_changed_is_read_again(client: Path, read: list[str]) -> None:
    checked(client)
    (client / "outbound" / "clean.txt").write_text("Now with 666-12-3457 in it")
    del read[:]
    verdicts = {verdict.file: verdict for verdict in checked(client)}
    assert read == ["clean.txt"]
    assert verdicts["clean.txt"].judgement is Judgement.HELD


@pytest.mark.parametrize(
    "how", [{"known": OTHER}, {"known": ()}, {"thorough": True}, {"ours": True}]
)
def test_other_numbers_and_other_ways_read_everything(
    client: Path, read: list[str], how: dict[str, object]
) -> None:
    checked(client)
    checked(client, **how)  # type: ignore[arg-type]
    assert len(read) == 6


def test_other_rules_read_everything(
    client: Path, read: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    checked(client)
    monkeypatch.setattr(folder_module, "rule_version", lambda: "other rules")
    checked(client)
    assert len(read) == 6


def test_the_rules_have_a_version_that_stays() -> None:
    assert rule_version() == rule_version()
    assert len(rule_version()) == 64


def test_another_name_is_read_by_itself(client: Path, read: list[str]) -> None:
    checked(client)
    (client / "outbound" / "clean.txt").rename(client / "outbound" / "clean.png")
    del read[:]
    held = {verdict.file for verdict in checked(client) if verdict.judgement is Judgement.HELD}
    assert read == ["clean.png"]
    assert "clean.png" in held


def test_key_and_lines_are_for_the_owner_alone(client: Path) -> None:
    checked(client)
    record = client / "record"
    assert stat.S_IMODE(record.stat().st_mode) == 0o700
    assert {each.name: stat.S_IMODE(each.stat().st_mode) for each in record.iterdir()} == {
        "key": 0o600,
        "verdicts": 0o600,
    }


def test_the_lines_tell_neither_numbers_nor_names(client: Path) -> None:
    checked(client)
    lines = (client / "record" / "verdicts").read_bytes()
    for word in (b"000123456", b"666-12-3457", b"clean.txt", b"held.txt", b"a.pdf"):
        assert word not in lines


def test_two_records_of_the_same_run_have_nothing_in_common(client: Path, tmp_path: Path) -> None:
    checked(client)
    first = (client / "record" / "verdicts").read_bytes().split()
    for name in ("key", "verdicts"):
        (client / "record" / name).unlink()
    checked(client)
    second = (client / "record" / "verdicts").read_bytes().split()
    assert not {word for word in first if len(word) == 64} & set(second)


def test_no_change_of_a_line_makes_a_held_file_clean(client: Path, read: list[str]) -> None:
    checked(client)
    file = client / "record" / "verdicts"
    data = file.read_bytes()
    forged = data.replace(b'"held"', b'"clean"').replace(
        b'"sightings":[[', b'"sightings":[],"x":[['
    )
    assert forged != data
    file.write_bytes(forged)
    del read[:]
    verdicts = {verdict.file: verdict.judgement for verdict in checked(client)}
    assert verdicts["held.txt"] is Judgement.HELD
    assert read == ["held.txt"]


def test_every_changed_byte_of_the_lines_is_noticed(client: Path) -> None:
    first = checked(client)
    file = client / "record" / "verdicts"
    data = file.read_bytes()
    for at in range(0, len(data), 37):
        file.write_bytes(data[:at] + bytes([data[at] ^ 1]) + data[at + 1 :])
        assert checked(client) == first


def test_a_line_cannot_be_lent_to_another_file(client: Path) -> None:
    checked(client)
    file = client / "record" / "verdicts"
    names = [line.split(b" ", 1) for line in file.read_bytes().split(b"\n") if line]
    for place in range(len(names)):
        turned = names[place:] + names[:place]
        lent = [name + b" " + rest for (name, _), (_, rest) in zip(names, turned, strict=True)]
        file.write_bytes(b"\n".join(lent))
        verdicts = {verdict.file: verdict.judgement for verdict in checked(client)}
        assert verdicts["held.txt"] is Judgement.HELD


def test_a_key_that_others_could_read_is_replaced(client: Path, read: list[str]) -> None:
    checked(client)
    key = client / "record" / "key"
    before = key.read_bytes()
    key.chmod(0o644)
    checked(client)
    assert key.read_bytes() != before
    assert stat.S_IMODE(key.stat().st_mode) == 0o600
    assert len(read) == 6


def test_a_folder_that_others_may_write_to_is_not_used(client: Path) -> None:
    (client / "record").mkdir()
    (client / "record").chmod(0o777)
    with pytest.raises(PermissionError):
        RecordFolder(client / "record")


def test_the_record_may_be_deleted(client: Path, read: list[str]) -> None:
    first = checked(client)
    for name in ("key", "verdicts"):
        (client / "record" / name).unlink()
    assert checked(client) == first
    assert len(read) == 6


def test_a_locked_file_is_asked_again_when_its_key_is_there(client: Path) -> None:
    (client / "outbound" / "b.pdf").write_bytes(locked_pdf())
    assert checked(client)[1].judgement is Judgement.HELD
    (client / "keys").mkdir()
    (client / "keys" / "b.pdf.txt").write_text("five plain words\n")
    assert checked(client)[1].judgement is Judgement.CLEAN


def test_a_full_disk_costs_the_memory_and_no_verdict(
    client: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    expected = checked(client)
    (client / "record" / "verdicts").unlink()

    def full(descriptor: int, data: bytes) -> int:
        raise OSError(28, "No space left on device")

    record = RecordFolder(client / "record")
    with monkeypatch.context() as patch:
        patch.setattr(os, "write", full)
        told = check_path(client / "outbound", known=KNOWN, policy=MaskPolicy(), record=record)
    assert told == expected
    assert "no space" in record.fault


def test_a_line_cut_by_a_crash_spoils_no_other(client: Path, read: list[str]) -> None:
    checked(client)
    file = client / "record" / "verdicts"
    file.write_bytes(file.read_bytes()[:-40])
    checked(client)
    assert len(read) == 4
    checked(client)
    assert len(read) == 4

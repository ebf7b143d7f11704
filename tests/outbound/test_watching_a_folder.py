"""A folder under watch: what is not clean goes into held/, whole, and nothing is ever lost."""

import os
import stat
import zipfile
from pathlib import Path

import pytest
from outbound_pages import page_pdf

from packets.base.errors import UsageError
from packets.base.limits import DEFAULT_LIMITS
from packets.identifiers.kinds import MaskPolicy
from packets.outbound.folder import FolderJudge
from packets.outbound.keys import keys_for
from packets.outbound.records import Judgement
from packets.outbound.watching import Judged, Watch, held_beside

SHAPED = "the number is 666-12-3457"


@pytest.fixture
def out(tmp_path: Path) -> Path:
    (tmp_path / "outbound").mkdir()
    return tmp_path / "outbound"


class Watched:
    """A watch, and what it told."""

    def __init__(self, folder: Path) -> None:
        self.judge = FolderJudge(
            (), MaskPolicy(), None, keys_for, thorough=False, ours=False,
            limits=DEFAULT_LIMITS, record=None,
        )  # fmt: skip
        self.told: list[Judged] = []
        self.watch = Watch(folder, held_beside(folder), self.judge)

    def look(self, times: int = 1) -> list[Judged]:
        before = len(self.told)
        for _ in range(times):
            self.watch.look(self.told.append)
        return self.told[before:]


def files(folder: Path) -> list[str]:
    return sorted(
        each.relative_to(folder).as_posix() for each in folder.rglob("*") if each.is_file()
    )


def test_what_is_not_clean_is_moved_and_the_rest_stays(out: Path) -> None:
    (out / "a.pdf").write_bytes(page_pdf())
    (out / "b.txt").write_text(SHAPED)
    (out / "c.bin").write_bytes(bytes(range(256)))
    watched = Watched(out)
    told = watched.look(2)
    assert len(told) == 3
    assert files(out) == ["a.pdf"]
    held = out.parent / "held"
    assert sorted(each.name for each in held.rglob("*") if each.name != "why.txt") == [
        "00001", "00002", "b.txt", "c.bin",
    ]  # fmt: skip
    assert stat.S_IMODE(held.stat().st_mode) == 0o700
    assert (held / "00001" / "b.txt").read_text() == SHAPED
    why = (held / "00001" / "why.txt").read_text()
    assert "ssn, shape" in why
    assert "3457" not in why
    assert "cannot read" in (held / "00002" / "why.txt").read_text()


def test_each_file_is_told_once(out: Path) -> None:
    (out / "a.txt").write_text("Dear client")
    watched = Watched(out)
    assert len(watched.look(2)) == 1
    assert watched.look(3) == []
    (out / "a.txt").write_text("Dear client, again")
    assert len(watched.look(2)) == 1


def test_a_file_that_still_grows_is_left_alone(out: Path) -> None:
    watched = Watched(out)
    with (out / "a.txt").open("w") as growing:
        for _ in range(4):
            growing.write(SHAPED)
            growing.flush()
            assert watched.look() == []
    assert files(out) == ["a.txt"]
    assert len(watched.look()) == 1
    assert files(out) == []


def test_a_file_that_changes_while_it_is_read_is_judged_again(
    out: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = out / "a.txt"
    file.write_text(SHAPED)
    watched = Watched(out)
    plain = watched.judge.read
    watched.look()

    def changing(entry: object) -> object:
        verdict = plain(entry)  # type: ignore[arg-type]
        file.write_text("Dear client")
        return verdict

    with monkeypatch.context() as patch:
        patch.setattr("packets.outbound.watching.judged_apart", lambda work: work())
        patch.setattr(watched.judge, "read", changing)
        assert watched.look() == []
    (judged,) = watched.look(2)
    assert judged.verdict.judgement is Judgement.CLEAN
    assert file.read_text() == "Dear client"


def test_a_file_that_goes_away_is_no_fault(out: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (out / "a.txt").write_text(SHAPED)
    watched = Watched(out)
    watched.look()
    plain = watched.judge.named

    def gone(entry: object, verdict: object) -> object:
        (out / "a.txt").unlink()
        return plain(entry, verdict)  # type: ignore[arg-type]

    monkeypatch.setattr(watched.judge, "named", gone)
    assert watched.look() == []
    assert list((out.parent / "held").iterdir()) == []


def test_files_of_one_name_do_not_replace_each_other(out: Path) -> None:
    watched = Watched(out)
    for number in range(3):
        (out / "a.txt").write_text(f"{SHAPED} {number}")
        watched.look(2)
    kept = [each.read_text() for each in sorted((out.parent / "held").glob("*/a.txt"))]
    assert kept == [f"{SHAPED} {number}" for number in range(3)]


def test_a_file_called_like_the_reasons_is_kept(out: Path) -> None:
    (out / "why.txt").write_text(SHAPED)
    Watched(out).look(2)
    (kept,) = (out.parent / "held").glob("*/why.txt.held")
    assert kept.read_text() == SHAPED


def test_links_pipes_and_odd_names_are_moved_too(out: Path) -> None:
    os.mkfifo(out / "pipe")
    (out / "link").symlink_to("/etc/hostname")
    (out / "a\n666-12-3457").write_text("Dear client")
    told = Watched(out).look(2)
    assert len(told) == 3
    assert list(out.iterdir()) == []
    assert all(
        "3457" not in (each.held_as.parent / "why.txt").read_text() for each in told if each.held_as
    )


def test_a_file_that_cannot_be_moved_is_told_once(
    out: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (out / "a.txt").write_text(SHAPED)
    watched = Watched(out)

    def full(path: Path, *_: object, **__: object) -> None:
        raise OSError(28, "No space left on device", str(path))

    monkeypatch.setattr(Path, "mkdir", full)
    (judged,) = watched.look(4)
    assert judged.held_as is None
    assert "no space" in judged.fault
    assert files(out) == ["a.txt"]


def test_reasons_that_cannot_be_written_do_not_undo_the_move(
    out: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (out / "a.txt").write_text(SHAPED)

    def full(path: Path, data: bytes) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("packets.outbound.watching.write_durably", full)
    (judged,) = Watched(out).look(2)
    assert judged.held_as is not None
    assert judged.held_as.read_text() == SHAPED


def test_a_bomb_is_moved(out: Path) -> None:
    with zipfile.ZipFile(out / "a.zip", "w", zipfile.ZIP_DEFLATED) as bomb:
        bomb.writestr("a.txt", b"0" * 300_000_000)
    (judged,) = Watched(out).look(2)
    assert judged.held_as is not None
    assert "unpacks to more" in judged.verdict.unread[0]


def test_only_a_folder_is_watched_and_never_held_itself(out: Path) -> None:
    (out / "a.txt").write_text("Dear client")
    with pytest.raises(UsageError):
        held_beside(out / "a.txt")
    held = held_beside(out)
    with pytest.raises(UsageError):
        held_beside(held)
    held.rmdir()
    held.symlink_to(out)
    with pytest.raises(UsageError):
        held_beside(out)

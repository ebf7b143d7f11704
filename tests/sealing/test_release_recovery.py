"""Recovery finishes or undoes what the ledger calls prepared, and touches nothing else."""

import datetime as dt
from pathlib import Path

import pytest
from killed_runs import die, was_killed
from sealing_samples import packet_facts, sealed_packet

from packets.base.errors import InputRefused
from packets.base.files import PARTIAL_PREFIX, write_durably
from packets.sealing.checksum_list import FILE_NAME as LIST_NAME
from packets.sealing.ledger import FILE_NAME as LEDGER_NAME
from packets.sealing.ledger import append, entries, verify
from packets.sealing.manifest import manifest_path, read_manifest
from packets.sealing.records import Released
from packets.sealing.recovery import Recovered, recover
from packets.sealing.release import nothing, release

NOW = dt.datetime(2026, 3, 3, 14, 5, 9, tzinfo=dt.UTC)
SEALED = sealed_packet()
NAME = "2025-0147-client-copy.pdf"


def released(client: Path, killed_at: str = "", folder: str = "outbound") -> Released:
    return release(
        client,
        client / folder,
        packet_facts(),
        SEALED,
        keep_passphrase=True,
        at=lambda step: die(step) if step == killed_at else nothing(step),
    )


def killed(client: Path, step: str, folder: str = "outbound") -> None:
    assert was_killed(released, client, step, folder)


def recovered(client: Path, folder: str = "outbound") -> Recovered:
    return recover(client, client / folder, now=NOW)


def test_a_release_whose_parts_are_all_there_is_finished(tmp_path: Path) -> None:
    killed(tmp_path, "key kept")
    assert recovered(tmp_path).completed == (NAME,)
    packet = tmp_path / "outbound" / NAME
    assert packet.read_bytes() == SEALED.pdf
    assert read_manifest(manifest_path(packet))["packet"] == NAME
    assert (tmp_path / "outbound" / LIST_NAME).read_text() == f"{SEALED.sha256}  {NAME}\n"
    last = entries(tmp_path)[-1]
    assert (last.event, last.facts["after_crash"]) == ("released", True)
    assert recovered(tmp_path) == Recovered()


def test_a_release_killed_before_its_passphrase_was_written_is_undone(tmp_path: Path) -> None:
    killed(tmp_path, "prepared")
    assert recovered(tmp_path).withdrawn == (NAME,)
    assert list((tmp_path / "outbound").iterdir()) == []
    assert entries(tmp_path)[-1].event == "withdrawn"
    assert released(tmp_path).packet.name == NAME


@pytest.mark.parametrize("lost", [b"%PDF", b"{"], ids=["packet", "manifest"])
def test_a_release_whose_staged_files_were_removed_is_undone(tmp_path: Path, lost: bytes) -> None:
    killed(tmp_path, "key kept")
    for path in (tmp_path / "outbound").glob(f"{PARTIAL_PREFIX}*"):
        if path.read_bytes().startswith(lost):
            path.unlink()
    assert recovered(tmp_path).withdrawn == (NAME,)
    assert list((tmp_path / "outbound").iterdir()) == []
    assert list((tmp_path / "keys").iterdir()) == []


def test_a_released_packet_that_was_carried_off_is_nothing_to_recover(tmp_path: Path) -> None:
    done = released(tmp_path)
    done.packet.unlink()
    assert recovered(tmp_path) == Recovered()
    assert done.manifest.exists()
    assert done.key_file is not None
    assert done.key_file.exists()


def test_a_file_of_the_same_name_that_is_not_ours_is_left_alone(tmp_path: Path) -> None:
    killed(tmp_path, "manifest named")
    (tmp_path / "outbound" / NAME).write_bytes(b"somebody else's")
    assert recovered(tmp_path).withdrawn == (NAME,)
    assert (tmp_path / "outbound" / NAME).read_bytes() == b"somebody else's"


def test_each_folder_is_recovered_when_its_turn_comes(tmp_path: Path) -> None:
    killed(tmp_path, "key kept", "other")
    assert recovered(tmp_path) == Recovered()
    (tmp_path / "outbound").mkdir()
    assert recovered(tmp_path) == Recovered()
    assert released(tmp_path).packet.name == "2025-0147-client-copy-2.pdf"
    assert recovered(tmp_path, "other").completed == (NAME,)
    assert verify(tmp_path).sound


def test_the_next_release_recovers_by_itself(tmp_path: Path) -> None:
    killed(tmp_path, "list named")
    assert released(tmp_path).packet.name == "2025-0147-client-copy-2.pdf"
    assert (tmp_path / "outbound" / NAME).read_bytes() == SEALED.pdf


def test_packets_of_which_the_ledger_says_nothing_are_left_alone(tmp_path: Path) -> None:
    (tmp_path / "outbound").mkdir()
    names = ("old.pdf", "old.manifest.json", LIST_NAME)
    for name in names:
        (tmp_path / "outbound" / name).write_bytes(b"old")
    assert recovered(tmp_path) == Recovered()
    assert {path.name for path in (tmp_path / "outbound").iterdir()} == set(names)


def test_staged_files_and_torn_ledger_lines_are_tidied_and_told(tmp_path: Path) -> None:
    for folder in ("outbound", "keys"):
        (tmp_path / folder).mkdir()
        (tmp_path / folder / f"{PARTIAL_PREFIX}left").write_bytes(b"x")
    append(tmp_path, "note", {}, at=NOW)
    with (tmp_path / LEDGER_NAME).open("ab") as file:
        file.write(b"torn")
    assert recovered(tmp_path) == Recovered(swept=2, repaired=True)
    assert recovered(tmp_path) == Recovered()


def test_nothing_is_recovered_upon_a_broken_ledger(tmp_path: Path) -> None:
    killed(tmp_path, "key kept")
    write_durably(tmp_path / LEDGER_NAME, b"broken\n")
    with pytest.raises(InputRefused, match="line 1"):
        recovered(tmp_path)
    with pytest.raises(InputRefused, match="line 1"):
        released(tmp_path)
    assert len(list((tmp_path / "outbound").glob(f"{PARTIAL_PREFIX}*"))) == 3


def test_a_folder_that_is_not_there_needs_no_recovery(tmp_path: Path) -> None:
    assert recovered(tmp_path) == Recovered()
    assert list(tmp_path.iterdir()) == []

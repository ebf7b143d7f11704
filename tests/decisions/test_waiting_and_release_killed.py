"""Killed at any moment, a packet waits or is released, whole; the next run tidies up.

The run is a forked process that gets SIGKILL at a named step, or before its n-th change
to the disk, for every n.
"""

import shutil
from pathlib import Path

import pytest
from killed_runs import MOST_CALLS, die, nth_disk_call, was_killed
from waiting_packets import (
    PASSPHRASE,
    WHO,
    client_folder,
    events,
    ledger_is_sound,
    left_partial,
    sealed,
    wait,
)

from packets.base.files import file_sha256
from packets.sealing.ledger_chain import FILE_NAME, read_ledger
from packets.sealing.manifest import manifest_path, read_manifest
from packets.sealing.records import Released
from packets.sealing.recovery import Recovered, recover
from packets.sealing.reviewed_release import release_waiting
from packets.sealing.waiting import Waiting, waiting

FIRST, SECOND = "2025-0201-client-copy.pdf", "2025-0201-client-copy-2.pdf"
OLDER, NEWER = sealed("older"), sealed("newer")
STEPS = ("staged", "prepared", "key kept", "manifest named", "list named", "packet named")


@pytest.fixture
def client(tmp_path: Path) -> Path:
    folder = client_folder(tmp_path)
    wait(folder, OLDER)
    return folder


def allowed(_: Waiting) -> None:
    """Nothing stands against the packet."""


def let_out(client: Path, step: str = "") -> Released:
    return release_waiting(
        client,
        FIRST,
        OLDER.sha256,
        WHO,
        demand=allowed,
        at=lambda done: die() if done == step else None,
    )


def let_out_and_die(client: Path, number: int) -> None:
    with nth_disk_call(number, die):
        let_out(client)


def replace_and_die(client: Path, number: int) -> None:
    with nth_disk_call(number, die):
        wait(client, NEWER)


def recover_all(client: Path) -> None:
    for folder in ("to-review", "outbound"):
        recover(client, client / folder)


def whole_set(client: Path, folder: str, name: str) -> bool:
    """Whether the packet lies there; if so with its manifest, its line and its passphrase."""
    path = client / folder / name
    if not path.exists():
        return False
    digest = file_sha256(path)
    assert read_manifest(manifest_path(path))["sha256"] == digest
    assert f"{digest}  {name}\n" in (path.parent / "SHA256SUMS").read_text()
    assert (client / "keys" / f"{name}.txt").read_text() == PASSPHRASE + "\n"
    return True


def still_waiting(client: Path) -> list[str]:
    return [one.packet for one in waiting(read_ledger(client / FILE_NAME).entries)]


def assert_waits_or_is_out(client: Path) -> bool:
    """What holds after recovery, of a packet that somebody was releasing."""
    assert ledger_is_sound(client)
    assert not left_partial(client)
    out = whole_set(client, "outbound", FIRST)
    assert whole_set(client, "to-review", FIRST) is not out
    assert still_waiting(client) == ([] if out else [FIRST])
    assert (events(client, FIRST)[-1] == "released") is out
    if not out:
        assert not [path for path in (client / "outbound").glob("*") if FIRST[:-4] in path.name]
    assert recover(client, client / "outbound") == recover(client, client / "to-review")
    assert recover(client, client / "outbound") == Recovered()
    return out


@pytest.mark.parametrize("step", ["reviewed", *STEPS, "released", "moved"])
def test_a_release_killed_at_a_step_lets_the_packet_wait_or_go(client: Path, step: str) -> None:
    assert was_killed(let_out, client, step)
    recover_all(client)
    out = assert_waits_or_is_out(client)
    assert out is (step not in ("reviewed", "staged"))
    if not out:  # nothing is lost: the person says yes again
        assert let_out(client).packet.is_file()
        assert assert_waits_or_is_out(client)


def test_a_release_killed_before_any_change_to_the_disk_lets_the_packet_wait_or_go(
    client: Path, tmp_path: Path
) -> None:
    outcomes = set()
    for number in range(MOST_CALLS):
        copy = tmp_path / f"copy-{number}"
        shutil.copytree(client, copy)
        killed = was_killed(let_out_and_die, copy, number)
        assert whole_set(copy, "to-review", FIRST) or whole_set(copy, "outbound", FIRST)
        recover_all(copy)
        outcomes.add((killed, assert_waits_or_is_out(copy)))
        if not killed:
            break
    assert outcomes == {(True, False), (True, True), (False, True)}


def test_a_build_killed_while_it_replaces_what_waits_leaves_one_packet_waiting(
    client: Path, tmp_path: Path
) -> None:
    outcomes = set()
    for number in range(MOST_CALLS):
        copy = tmp_path / f"copy-{number}"
        shutil.copytree(client, copy)
        killed = was_killed(replace_and_die, copy, number)
        recover_all(copy)
        assert ledger_is_sound(copy)
        assert not left_partial(copy)
        newer = whole_set(copy, "to-review", SECOND)
        assert whole_set(copy, "to-review", FIRST) is not newer
        assert still_waiting(copy) == [SECOND if newer else FIRST]
        assert ("superseded" in events(copy, FIRST)) is newer
        assert (copy / "keys" / f"{FIRST}.txt").exists() is not newer
        outcomes.add((killed, newer))
        if not killed:
            break
    assert outcomes == {(True, False), (True, True), (False, True)}


def test_a_newer_build_replaces_nothing_that_a_person_has_let_out(client: Path) -> None:
    assert was_killed(let_out, client, "packet named")
    wait(client, NEWER)
    assert whole_set(client, "outbound", FIRST)
    assert whole_set(client, "to-review", SECOND)
    assert not (client / "to-review" / FIRST).exists()
    assert events(client, FIRST)[-1] == "released"
    assert still_waiting(client) == [SECOND]


@pytest.mark.parametrize("step", STEPS)
@pytest.mark.parametrize("failure", [KeyboardInterrupt, MemoryError])
def test_an_interrupted_release_lets_the_packet_wait(
    client: Path, step: str, failure: type[BaseException]
) -> None:
    def fail(done: str) -> None:
        if done == step:
            raise failure

    with pytest.raises(failure):
        release_waiting(client, FIRST, OLDER.sha256, WHO, demand=allowed, at=fail)
    assert not assert_waits_or_is_out(client)
    assert let_out(client).sha256 == OLDER.sha256

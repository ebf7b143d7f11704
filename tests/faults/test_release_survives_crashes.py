"""A release killed at any moment leaves a complete set or nothing, and the next run tidies up.

The run is a forked process that gets SIGKILL either at a named step or before its
n-th change to the disk (sync, rename, link, unlink, ledger write, truncation), for
every n; recovery itself is killed in the same way.
"""

import datetime as dt
import errno
import io
import shutil
from collections.abc import Callable
from pathlib import Path

import pikepdf
import pytest
from killed_runs import MOST_CALLS, die, nth_disk_call, was_killed

from packets.base.canonical import sha256_hex
from packets.base.errors import InputRefused, UsageError
from packets.base.files import PARTIAL_PREFIX, file_sha256
from packets.base.secret import Secret
from packets.sealing.checksum_list import FILE_NAME as LIST_NAME
from packets.sealing.encrypt import seal
from packets.sealing.ledger import FILE_NAME as LEDGER_NAME
from packets.sealing.ledger import entries, verify
from packets.sealing.manifest import manifest_path, read_manifest
from packets.sealing.records import PacketFacts, Released, SealedPacket
from packets.sealing.recovery import Recovered, recover
from packets.sealing.release import nothing, release

NOW = dt.datetime(2026, 3, 3, 14, 5, 9, tzinfo=dt.UTC)
PASSPHRASE = "walnut-harbor-ribbon-candle-tundra-mosaic"
FIRST = "2025-0147-client-copy.pdf"
SECOND = "2025-0147-client-copy-2.pdf"
THIRD = "2025-0147-client-copy-3.pdf"
STEPS = ("staged", "prepared", "key kept", "manifest named", "list named", "packet named")


def _sealed() -> SealedPacket:
    with pikepdf.new() as pdf:
        pdf.add_blank_page()
        target = io.BytesIO()
        pdf.save(target)
    return seal(target.getvalue(), Secret(PASSPHRASE))


SEALED = _sealed()
FACTS = PacketFacts(
    packet="",
    title="Your 2025 income tax return",
    pages=1,
    content_sha256=sha256_hex(b""),
    recipe_name="client-copy",
    recipe_sha256=sha256_hex(b""),
    engagement_id="2025-0147",
    tax_year=2025,
    built_at=NOW,
    sources=(),
    parts=(),
    masks=(),
    signatures=(),
    verdict="clean",
    readers=(),
    proof=(),
    retention=(),
    tools=(),
)


def _release(client: Path, at: Callable[[str], None] = nothing) -> Released:
    return release(client, client / "outbound", FACTS, SEALED, keep_passphrase=True, at=at)


def _die_at_step(client: Path, step: str) -> None:
    _release(client, lambda done: die() if done == step else None)


def _die_at_call(client: Path, number: int) -> None:
    with nth_disk_call(number, die):
        _release(client)


def _die_while_recovering(client: Path, number: int) -> None:
    with nth_disk_call(number, die):
        recover(client, client / "outbound", now=NOW)


def _assert_complete_set(client: Path, name: str) -> None:
    packet = client / "outbound" / name
    manifest = read_manifest(manifest_path(packet))
    digest = file_sha256(packet)
    assert manifest["packet"] == name
    assert manifest["sha256"] == digest == SEALED.sha256
    assert f"{digest}  {name}\n" in (client / "outbound" / LIST_NAME).read_text()
    assert (client / "keys" / f"{name}.txt").read_text() == PASSPHRASE + "\n"
    recorded = [entry.event for entry in entries(client) if entry.facts.get("packet") == name]
    assert "prepared" in recorded


def _assert_nothing_half(client: Path) -> None:
    """What holds at every moment: whole files only, and a packet never without its set."""
    _assert_complete_set(client, FIRST)
    for path in (client / "outbound").iterdir():
        if path.suffix == ".pdf":
            _assert_complete_set(client, path.name)
        elif path.name.endswith(".manifest.json"):
            read_manifest(path)
    for key in (client / "keys").glob("*.txt"):
        assert key.read_text() == PASSPHRASE + "\n"
    verdict = verify(client)
    assert verdict.sound or verdict.bad_line == verdict.lines + 1 == len(
        (client / LEDGER_NAME).read_bytes().split(b"\n")
    )


def _assert_tidy(client: Path) -> None:
    """What holds after recovery: all of the second packet or nothing of it, and no leftovers."""
    _assert_nothing_half(client)
    assert verify(client).sound
    left = [path.name for path in client.rglob("*") if path.is_file()]
    assert not [name for name in left if name.startswith(PARTIAL_PREFIX)]
    events = [entry.event for entry in entries(client) if entry.facts["packet"] == SECOND]
    if (client / "outbound" / SECOND).exists():
        assert events == ["prepared", "released"]
    else:
        assert events in ([], ["prepared", "withdrawn"])
        assert not [name for name in left if name.startswith(Path(SECOND).stem)]
        assert SECOND not in (client / "outbound" / LIST_NAME).read_text()
    assert recover(client, client / "outbound", now=NOW) == Recovered()


@pytest.fixture
def client(tmp_path: Path) -> Path:
    folder = tmp_path / "client"
    folder.mkdir()
    _release(folder)
    return folder


@pytest.mark.parametrize("step", STEPS)
def test_a_release_killed_at_a_step_is_finished_or_undone(client: Path, step: str) -> None:
    assert was_killed(_die_at_step, client, step)
    _assert_nothing_half(client)
    found = recover(client, client / "outbound", now=NOW)
    finished = step in ("key kept", "manifest named", "list named", "packet named")
    assert found.completed == ((SECOND,) if finished else ())
    assert found.withdrawn == ((SECOND,) if step == "prepared" else ())
    assert (found.swept > 0) is (step not in ("list named", "packet named"))
    _assert_tidy(client)


def test_a_release_killed_before_any_change_to_the_disk_leaves_all_or_nothing(
    client: Path, tmp_path: Path
) -> None:
    outcomes = set()
    for number in range(MOST_CALLS):
        copy = tmp_path / f"copy-{number}"
        shutil.copytree(client, copy)
        killed = was_killed(_die_at_call, copy, number)
        _assert_nothing_half(copy)
        before = (copy / "outbound" / SECOND).exists()
        recover(copy, copy / "outbound", now=NOW)
        _assert_tidy(copy)
        outcomes.add((killed, before, (copy / "outbound" / SECOND).exists()))
        assert (
            _release(copy).packet.name
            == ("2025-0147-client-copy-3.pdf" if (copy / "outbound" / SECOND).exists() else SECOND)
            or (copy / "outbound" / SECOND).exists()
        )
        if not killed:
            break
    assert outcomes == {
        (True, False, False),
        (True, False, True),
        (True, True, True),
        (False, True, True),
    }


@pytest.mark.parametrize("step", STEPS)
def test_a_recovery_killed_before_any_change_to_the_disk_is_taken_up_again(
    client: Path, tmp_path: Path, step: str
) -> None:
    was_killed(_die_at_step, client, step)
    for number in range(MOST_CALLS):
        copy = tmp_path / f"copy-{number}"
        shutil.copytree(client, copy)
        killed = was_killed(_die_while_recovering, copy, number)
        _assert_nothing_half(copy)
        recover(copy, copy / "outbound", now=NOW)
        _assert_tidy(copy)
        if not killed:
            break
    assert number > 2
    assert not killed


@pytest.mark.parametrize("lasting", [False, True])
@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EDQUOT, errno.EROFS, errno.EIO])
def test_a_disk_that_refuses_any_change_leaves_nothing_and_says_what_to_do(
    client: Path, tmp_path: Path, code: int, lasting: bool
) -> None:
    def refuse() -> None:
        raise OSError(code, "refused")

    for number in range(MOST_CALLS):
        copy = tmp_path / f"copy-{number}"
        shutil.copytree(client, copy)
        with nth_disk_call(number, refuse, lasting=lasting):
            refused = _refusal(copy)
        _assert_nothing_half(copy)
        if refused is None:
            break
        assert refused.remedy
        assert PASSPHRASE not in repr(refused)
        if not lasting:  # else a file may be impossible to remove, too, until the next start
            assert not (copy / "outbound" / SECOND).exists()
        recover(copy, copy / "outbound", now=NOW)
        _assert_tidy(copy)
    assert len(STEPS) < number < MOST_CALLS - 1


def _refusal(client: Path) -> InputRefused | UsageError | None:
    try:
        _release(client)
    except (InputRefused, UsageError) as refused:
        return refused
    return None


@pytest.mark.parametrize("step", STEPS)
@pytest.mark.parametrize("failure", [KeyboardInterrupt, MemoryError])
def test_an_interrupted_run_undoes_its_release_at_once(
    client: Path, step: str, failure: type[BaseException]
) -> None:
    def fail(done: str) -> None:
        if done == step:
            raise failure

    with pytest.raises(failure):
        _release(client, fail)
    assert not (client / "outbound" / SECOND).exists()
    _assert_tidy(client)

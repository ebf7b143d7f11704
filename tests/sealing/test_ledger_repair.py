"""A run that dies over a ledger line costs that line at most, and never in silence."""

import contextlib
import datetime as dt
import errno
import itertools
import multiprocessing
import os
import signal
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from packets.base.errors import InputRefused, UsageError
from packets.sealing import ledger
from packets.sealing.folder_lock import LOCK_NAME
from packets.sealing.ledger import FILE_NAME, Entry, append, entries, verify
from packets.sealing.ledger_chain import HEAD_NAME

FORK = multiprocessing.get_context("fork")
AT = dt.datetime(2026, 3, 3, tzinfo=dt.UTC)


def events(folder: Path) -> list[str]:
    return [entry.event for entry in entries(folder)]


def test_a_line_torn_anywhere_is_set_aside_and_recorded(tmp_path: Path) -> None:
    append(tmp_path, "first", {}, at=AT)
    kept = {name: (tmp_path / name).read_bytes() for name in (FILE_NAME, HEAD_NAME)}
    append(tmp_path, "second", {"packet": "a.pdf"}, at=AT)
    second = (tmp_path / FILE_NAME).read_bytes()[len(kept[FILE_NAME]) :]
    for length in (1, 2, *range(3, len(second) - 3, 11), len(second) - 3, len(second) - 2):
        for name, data in kept.items():
            (tmp_path / name).write_bytes(data)
        with (tmp_path / FILE_NAME).open("ab") as file:
            file.write(second[:length])
        assert verify(tmp_path).bad_line == 2
        append(tmp_path, "third", {}, at=AT)
        assert verify(tmp_path).sound
        assert events(tmp_path) == ["first", "repaired", "third"]
        aside = tmp_path / str(entries(tmp_path)[1].facts["kept_in"])
        assert aside.read_bytes() == second[:length]
        aside.unlink()


def test_a_line_that_lacks_only_its_line_feed_is_finished(tmp_path: Path) -> None:
    append(tmp_path, "first", {}, at=AT)
    head = (tmp_path / HEAD_NAME).read_bytes()
    append(tmp_path, "second", {}, at=AT)
    for noted in (head, (tmp_path / HEAD_NAME).read_bytes()):
        whole = (tmp_path / FILE_NAME).read_bytes()
        (tmp_path / HEAD_NAME).write_bytes(noted)
        (tmp_path / FILE_NAME).write_bytes(whole[:-1])
        assert not verify(tmp_path).sound
        append(tmp_path, "third", {}, at=AT)
        assert verify(tmp_path).sound
        assert events(tmp_path) == ["first", "second", "repaired", "third"]
        (tmp_path / FILE_NAME).write_bytes(b"".join(whole.splitlines(keepends=True)[:2]))


def test_zeros_left_by_a_power_cut_are_set_aside(tmp_path: Path) -> None:
    append(tmp_path, "first", {}, at=AT)
    with (tmp_path / FILE_NAME).open("ab") as file:
        file.write(bytes(400))
    append(tmp_path, "second", {}, at=AT)
    assert events(tmp_path) == ["first", "repaired", "second"]
    assert verify(tmp_path).sound


def _die_before_the_head(folder: Path) -> None:
    note_head = ledger._note_head

    def die(file: Path, last: Entry) -> None:
        if last.event == "killed" and last.line == len(entries(folder)) == die_at:
            os.kill(os.getpid(), signal.SIGKILL)
        note_head(file, last)

    die_at = len(entries(folder)) + 1
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(ledger, "_note_head", die)
        append(folder, "killed", {}, at=AT)


def test_runs_killed_between_line_and_head_one_after_another_harm_nothing(tmp_path: Path) -> None:
    for count in range(1, 4):
        run = FORK.Process(target=_die_before_the_head, args=(tmp_path,))
        run.start()
        run.join()
        assert run.exitcode == -signal.SIGKILL
        assert verify(tmp_path).sound
        assert verify(tmp_path).lines == count
    append(tmp_path, "after", {}, at=AT)
    assert verify(tmp_path).sound


@pytest.mark.parametrize("lines", [0, 2])
def test_a_full_disk_leaves_the_ledger_sound(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, lines: int
) -> None:
    outcomes = []
    for failing in range(8):
        folder = tmp_path / str(failing)
        folder.mkdir()
        for _ in range(lines):
            append(folder, "before", {}, at=AT)
        with monkeypatch.context() as patch:
            patch.setattr(os, "fsync", _full_at(failing))
            try:
                append(folder, "during", {}, at=AT)
                refused = False
            except InputRefused:
                refused = True
        assert verify(folder).sound
        outcomes.append((refused, len(events(folder)) - lines))
        append(folder, "after", {}, at=AT)
        assert verify(folder).sound
    # Only when the folder itself cannot be synced after the head has the line does the line stay.
    first_good = outcomes.index((False, 1))
    assert outcomes[: first_good - 1] == [(True, 0)] * (first_good - 1)
    assert outcomes[first_good - 1] == (True, 1)
    assert outcomes[first_good:] == [(False, 1)] * (8 - first_good)


def _full_at(failing: int) -> Callable[[int], None]:
    calls = itertools.count()
    synced = os.fsync

    def full(descriptor: int) -> None:
        if next(calls) == failing:
            raise OSError(errno.ENOSPC, "full")
        synced(descriptor)

    return full


@pytest.mark.parametrize("failing", range(5))
def test_a_full_disk_during_a_repair_loses_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, failing: int
) -> None:
    append(tmp_path, "first", {}, at=AT)
    with (tmp_path / FILE_NAME).open("ab") as file:
        file.write(b'{"at":"torn')
    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", _full_at(failing))
        with contextlib.suppress(InputRefused):
            append(tmp_path, "second", {}, at=AT)
    append(tmp_path, "third", {}, at=AT)
    assert verify(tmp_path).sound
    assert events(tmp_path)[:2] == ["first", "repaired"]
    assert (tmp_path / "ledger.torn-1").read_bytes() == b'{"at":"torn'
    assert not (tmp_path / "ledger.torn-2").exists()


def test_a_folder_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(UsageError, match="file"):
        append(tmp_path / "file", "event", {}, at=AT)


def test_a_ledger_that_is_a_link_is_not_followed(tmp_path: Path) -> None:
    (tmp_path / "elsewhere").write_bytes(b"")
    (tmp_path / FILE_NAME).symlink_to(tmp_path / "elsewhere")
    with pytest.raises(UsageError):
        append(tmp_path, "x", {}, at=AT)
    assert (tmp_path / "elsewhere").read_bytes() == b""


def _append_ten(folder: Path) -> None:
    for _ in range(10):
        append(folder, "event", {"process": os.getpid()}, at=AT)


def test_writers_in_many_processes_take_turns(tmp_path: Path) -> None:
    writers = [FORK.Process(target=_append_ten, args=(tmp_path,)) for _ in range(4)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    assert [writer.exitcode for writer in writers] == [0] * 4
    assert verify(tmp_path).lines == 40
    assert not (tmp_path / LOCK_NAME).exists()


def test_writers_in_many_threads_take_turns(tmp_path: Path) -> None:
    with ThreadPoolExecutor(4) as pool:
        list(pool.map(_append_ten, [tmp_path] * 4))
    assert verify(tmp_path).sound
    assert verify(tmp_path).lines == 40


def test_a_lock_left_by_a_killed_run_stops_nobody(tmp_path: Path) -> None:
    (tmp_path / LOCK_NAME).write_bytes(b"")
    append(tmp_path, "event", {}, at=AT)
    assert verify(tmp_path).lines == 1
    assert not (tmp_path / LOCK_NAME).exists()


def test_the_ledger_is_for_the_owner_alone(tmp_path: Path) -> None:
    append(tmp_path, "event", {}, at=AT)
    for name in (FILE_NAME, HEAD_NAME):
        assert (tmp_path / name).stat().st_mode & 0o777 == 0o600


def test_the_module_says_what_it_offers() -> None:
    assert set(ledger.__all__) >= {"append", "entries", "verify"}

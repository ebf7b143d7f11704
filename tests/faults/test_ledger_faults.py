"""The ledger through kill -9 in mid-line, a clock set back, a cut with the head taken along."""

import datetime as dt
import os
import signal
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from killed_runs import FORK, die, was_killed

from packets.base.errors import PacketsError, UsageError
from packets.sealing import ledger
from packets.sealing.ledger import FILE_NAME, append, entries, verify
from packets.sealing.ledger_chain import HEAD_NAME, judge, read_ledger

AT = dt.datetime(2026, 3, 3, 12, tzinfo=dt.UTC)
MOMENTS = st.datetimes(dt.datetime(1990, 1, 1), dt.datetime(2100, 1, 1), timezones=st.just(dt.UTC))


def _die_in_mid_line(folder: Path, written: int) -> None:
    """Write only the first bytes of the line, then get SIGKILL."""
    write = os.pwrite

    def torn(descriptor: int, data: bytes, offset: int) -> int:
        write(descriptor, data[:written], offset)
        die()
        return 0

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(os, "pwrite", torn)
        append(folder, "never finished", {"packet": "a.pdf"}, at=AT)


@pytest.mark.parametrize("before", [0, 3])
@pytest.mark.parametrize("written", [0, 1, 40, 10_000])
def test_a_run_killed_in_mid_line_costs_that_line_at_most(
    tmp_path: Path, before: int, written: int
) -> None:
    for number in range(before):
        append(tmp_path, "before", {"number": number}, at=AT)
    kept = (tmp_path / FILE_NAME).read_bytes() if before else b""
    assert was_killed(_die_in_mid_line, tmp_path, written)
    assert (tmp_path / FILE_NAME).read_bytes().startswith(kept)
    append(tmp_path, "after", {}, at=AT)
    assert verify(tmp_path).sound
    events = [entry.event for entry in entries(tmp_path)]
    told = {0: [], 10_000: ["never finished"]}.get(written, ["repaired"])
    assert events == ["before"] * before + told + ["after"]


def _append_or_die(folder: Path, number: int) -> None:
    for turn in range(6):
        if turn == 3 and number == 0:
            _die_in_mid_line(folder, 25)
        append(folder, "event", {"writer": number, "turn": turn}, at=AT)


def test_writers_go_on_when_one_of_them_is_killed_in_mid_line(tmp_path: Path) -> None:
    writers = [FORK.Process(target=_append_or_die, args=(tmp_path, n)) for n in range(3)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    assert [writer.exitcode for writer in writers] == [-signal.SIGKILL, 0, 0]
    append(tmp_path, "last", {}, at=AT)
    assert verify(tmp_path).sound
    written = [(e.facts["writer"], e.facts["turn"]) for e in entries(tmp_path) if "turn" in e.facts]
    turns = [(0, turn) for turn in range(3)]
    turns += [(number, turn) for number in (1, 2) for turn in range(6)]
    assert sorted(written) == turns


def test_a_clock_set_back_is_told_and_breaks_nothing(tmp_path: Path) -> None:
    for hours in (0, 5, 2, 3, -900, -800):
        append(tmp_path, "event", {}, at=AT + dt.timedelta(hours=hours))
    verdict = verify(tmp_path)
    assert verdict.sound
    assert verdict.lines == 6
    assert verdict.clock_back == (3, 5)


@settings(deadline=None, max_examples=30, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(MOMENTS, max_size=6))
def test_whatever_the_clock_says_the_chain_is_sound(
    tmp_path_factory: pytest.TempPathFactory, moments: list[dt.datetime]
) -> None:
    folder = tmp_path_factory.mktemp("client")
    for moment in moments:
        append(folder, "event", {}, at=moment)
    verdict = verify(folder)
    assert verdict.sound
    assert verdict.lines == len(moments)
    whole = [moment.replace(microsecond=0) for moment in moments]
    assert verdict.clock_back == tuple(
        line for line in range(2, len(whole) + 1) if whole[line - 1] < whole[line - 2]
    )


def test_a_ledger_cut_to_any_length_is_found_even_without_its_head(tmp_path: Path) -> None:
    for _ in range(3):
        append(tmp_path, "event", {}, at=AT)
    lines = (tmp_path / FILE_NAME).read_bytes().splitlines(keepends=True)
    (tmp_path / HEAD_NAME).unlink()
    for count in (1, 2, 3):
        (tmp_path / FILE_NAME).write_bytes(b"".join(lines[:count]))
        assert not verify(tmp_path).sound


def test_every_single_byte_of_the_head_counts(tmp_path: Path) -> None:
    append(tmp_path, "event", {}, at=AT)
    append(tmp_path, "event", {}, at=AT)
    whole = (tmp_path / HEAD_NAME).read_bytes()
    for place, byte in enumerate(whole):
        for other in {0x00, 0x0A, 0x20, 0x30, 0x31, byte ^ 0x01, byte ^ 0x20} - {byte}:
            changed = whole[:place] + bytes([other]) + whole[place + 1 :]
            (tmp_path / HEAD_NAME).write_bytes(changed)
            assert not verify(tmp_path).sound, changed
    for changed in (whole[:-1], whole + b"\n", b" " + whole):
        (tmp_path / HEAD_NAME).write_bytes(changed)
        assert not verify(tmp_path).sound


@pytest.mark.parametrize("name", [FILE_NAME, HEAD_NAME])
def test_no_permission_is_told_and_changes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    append(tmp_path, "event", {}, at=AT)
    kept = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    open_file, replace = os.open, os.replace

    def no_open(path: object, flags: int, mode: int = 0o777, **more: int) -> int:
        if str(path).endswith(FILE_NAME) and flags & os.O_RDWR:
            raise PermissionError(13, "no", str(path))
        return open_file(path, flags, mode, **more)

    def no_replace(source: object, target: object, **more: int) -> None:
        if str(target).endswith(HEAD_NAME):
            raise PermissionError(13, "no", str(target))
        replace(source, target, **more)

    with monkeypatch.context() as patch:
        if name == FILE_NAME:
            patch.setattr(os, "open", no_open)
        else:
            patch.setattr(os, "replace", no_replace)
        with pytest.raises(UsageError, match="cannot be written"):
            append(tmp_path, "event", {}, at=AT)
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == kept


def test_a_ledger_of_many_lines_is_judged_in_one_pass(monkeypatch: pytest.MonkeyPatch) -> None:
    """Work per line does not grow with the ledger: each line is hashed and parsed once."""
    calls: list[int] = []
    digest = ledger.sha256_hex
    monkeypatch.setattr(
        "packets.sealing.ledger_chain.sha256_hex",
        lambda data: calls.append(len(data)) or digest(data),
    )
    lines: list[bytes] = []
    last = None
    for number in range(50):
        line = ledger.line_of("event", AT, {"number": number}, last)
        last, why = ledger.next_entry(line, last)
        assert not why
        lines.append(line + b"\n")
    calls.clear()
    assert judge(b"".join(lines), None).verdict.lines == 50
    assert len(calls) == 50


def test_a_ledger_that_is_no_ledger_takes_no_line(tmp_path: Path) -> None:
    (tmp_path / FILE_NAME).write_bytes(b"not json\n")
    with pytest.raises(PacketsError, match="line 1"):
        append(tmp_path, "event", {}, at=AT)
    assert read_ledger(tmp_path / FILE_NAME).entries == ()

"""Whatever is recorded is sound; whatever is changed afterwards is found, and where."""

import datetime as dt
import json
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from packets.base.canonical import canonical_json, checksum_of
from packets.base.errors import InputRefused
from packets.sealing.ledger import FILE_NAME, append, entries, verify
from packets.sealing.ledger_chain import HEAD_NAME, START, Head, judge, next_entry, read_ledger

AT = dt.datetime(2026, 3, 3, 14, 5, 9, tzinfo=dt.UTC)
WORDS = st.text(st.characters(exclude_categories=("Cs", "Nd")), max_size=10)
VALUES = st.none() | st.booleans() | st.integers(-(2**53) + 1, 2**53 - 1) | WORDS
FACTS = st.dictionaries(WORDS, VALUES | st.lists(VALUES, max_size=3), max_size=4)


@contextmanager
def client_folder() -> Iterator[Path]:
    with tempfile.TemporaryDirectory() as name:
        yield Path(name)


def recorded(folder: Path, count: int) -> list[bytes]:
    for number in range(count):
        append(folder, "released", {"packet": f"copy-{number}.pdf"}, at=AT)
    return (folder / FILE_NAME).read_bytes().splitlines(keepends=True)


@settings(deadline=None, max_examples=30)
@given(st.lists(st.tuples(WORDS, FACTS), max_size=5))
def test_what_is_recorded_reads_back_and_is_sound(events: list[tuple[str, dict]]) -> None:
    with client_folder() as folder:
        for event, facts in events:
            append(folder, event, facts, at=AT)
        verdict = verify(folder)
        assert verdict.sound
        assert verdict.lines == len(events)
        assert [(entry.event, entry.facts) for entry in entries(folder)] == events
        previous = [START, *(entry.sha256 for entry in entries(folder))]
        lines = (folder / FILE_NAME).read_bytes().splitlines() if events else []
        assert [json.loads(line)["previous"] for line in lines] == previous[:-1]


@pytest.fixture(scope="module")
def four(tmp_path_factory: pytest.TempPathFactory) -> tuple[list[bytes], Head]:
    """Four lines as they were recorded, and the head that goes with them."""
    folder = tmp_path_factory.mktemp("client")
    lines = recorded(folder, 4)
    head = read_ledger(folder / FILE_NAME).head
    assert head is not None
    return lines, head


def test_each_single_byte_change_in_each_line_is_found_in_that_line(tmp_path: Path) -> None:
    lines = recorded(tmp_path, 2)
    head = read_ledger(tmp_path / FILE_NAME).head
    whole = b"".join(lines)
    for place, byte in enumerate(whole):
        for other in {0x00, 0x0A, 0x20, 0x30, byte ^ 0x01, byte ^ 0x20} - {byte}:
            verdict = judge(whole[:place] + bytes([other]) + whole[place + 1 :], head).verdict
            assert not verdict.sound
            assert verdict.bad_line == (1 if place < len(lines[0]) else 2)


@given(st.lists(st.integers(0, 3), max_size=6))
def test_any_cut_swap_doubling_or_loss_of_lines_is_found(
    four: tuple[list[bytes], Head], order: list[int]
) -> None:
    assume(order != [0, 1, 2, 3])
    lines, head = four
    verdict = judge(b"".join(lines[number] for number in order), head).verdict
    right = next((at for at, number in enumerate(order) if number != at), min(len(order), 4))
    assert not verdict.sound
    assert verdict.bad_line == right + 1


@given(st.integers(0, 4), st.binary(max_size=30))
def test_anything_put_in_between_is_found(
    four: tuple[list[bytes], Head], where: int, inserted: bytes
) -> None:
    lines, head = four
    data = b"".join([*lines[:where], inserted + b"\n", *lines[where:]])
    verdict = judge(data, head).verdict
    assert not verdict.sound
    assert verdict.bad_line == where + 1


@given(st.data())
def test_anything_cut_out_is_found(four: tuple[list[bytes], Head], data: st.DataObject) -> None:
    lines, head = four
    whole = b"".join(lines)
    start = data.draw(st.integers(0, len(whole) - 1))
    end = data.draw(st.integers(start + 1, len(whole)))
    verdict = judge(whole[:start] + whole[end:], head).verdict
    assert not verdict.sound
    assert verdict.bad_line == whole[:start].count(b"\n") + 1


def test_a_line_forged_with_a_right_checksum_breaks_the_chain_or_the_head(tmp_path: Path) -> None:
    lines = recorded(tmp_path, 3)
    for number in range(3):
        forged = json.loads(lines[number])
        forged["facts"] = {"packet": "another.pdf"}
        forged["checksum"] = checksum_of(forged)
        changed = [*lines]
        changed[number] = canonical_json(forged) + b"\n"
        (tmp_path / FILE_NAME).write_bytes(b"".join(changed))
        verdict = verify(tmp_path)
        assert not verdict.sound
        assert verdict.bad_line == min(number + 2, 3)


def test_lines_added_behind_the_head_are_found(tmp_path: Path) -> None:
    recorded(tmp_path, 2)
    head = (tmp_path / HEAD_NAME).read_bytes()
    recorded(tmp_path, 2)
    (tmp_path / HEAD_NAME).write_bytes(head)
    assert verify(tmp_path).bad_line == 4


@pytest.mark.parametrize("head", [b"", b"{", b"[]", b'{"lines":"x","last":""}'])
def test_a_spoilt_or_missing_head_is_found(tmp_path: Path, head: bytes) -> None:
    recorded(tmp_path, 2)
    (tmp_path / HEAD_NAME).write_bytes(head)
    verdict = verify(tmp_path)
    assert not verdict.sound
    assert HEAD_NAME in verdict.why


def test_a_ledger_that_was_taken_away_is_missed(tmp_path: Path) -> None:
    recorded(tmp_path, 2)
    (tmp_path / FILE_NAME).unlink()
    assert verify(tmp_path).bad_line == 1


def test_no_ledger_yet_is_sound_and_empty(tmp_path: Path) -> None:
    assert verify(tmp_path).sound
    assert entries(tmp_path) == ()


def test_nothing_is_added_to_a_broken_ledger(tmp_path: Path) -> None:
    lines = recorded(tmp_path, 3)
    broken = b"".join([lines[0], lines[2]])
    (tmp_path / FILE_NAME).write_bytes(broken)
    with pytest.raises(InputRefused, match="line 2"):
        append(tmp_path, "released", {}, at=AT)
    assert (tmp_path / FILE_NAME).read_bytes() == broken


def test_numbers_in_facts_are_cut_and_digests_are_not(tmp_path: Path) -> None:
    digest = "0123456789" * 6 + "abcd"
    facts = {"file": "000-12-3456.pdf", "sha256": digest, "list": [{"who": "000123456"}]}
    append(tmp_path, "held", facts, at=AT)
    assert entries(tmp_path)[0].facts == {
        "file": "XXX-XX-3456.pdf",
        "sha256": digest,
        "list": [{"who": "XXXXX3456"}],
    }


@settings(deadline=None)
@given(st.binary(max_size=60) | st.recursive(VALUES, st.lists).map(canonical_json))
def test_junk_is_called_bad_and_nothing_worse(line: bytes) -> None:
    entry, why = next_entry(line, None)
    assert entry is None
    assert why


def test_the_same_line_written_in_any_other_form_is_bad(four: tuple[list[bytes], Head]) -> None:
    line = four[0][0].rstrip(b"\n")
    record = json.loads(line)
    turned = dict(reversed(record.items()))
    forms = [
        json.dumps(record).encode(),
        json.dumps(turned, separators=(",", ":")).encode(),
        line.replace(b"released", b"rele\\u0061sed"),
        line.replace(b'{"at":', b'{"at":"","at":', 1),
        b" " + line,
        line + b"\r",
    ]
    assert next_entry(line, None)[0] is not None
    for form in forms:
        assert json.loads(form) == record
        assert next_entry(form, None)[0] is None


def test_the_time_is_the_time_of_the_event(tmp_path: Path) -> None:
    before = dt.datetime.now(dt.UTC).replace(microsecond=0)
    entry = append(tmp_path, "released", {})
    assert before <= dt.datetime.fromisoformat(entry.at) <= dt.datetime.now(dt.UTC)
    assert entry.at.endswith("Z")

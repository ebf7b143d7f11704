"""Reading the ledger: is each line whole, unaltered, and does it follow the one before?

The form of a line and of the head file is told in `ledger.py`, which writes them.
"""

import itertools
import json
from dataclasses import dataclass
from pathlib import Path

from packets.base.canonical import Json, canonical_json, checksum_of, sha256_hex
from packets.base.errors import InputRefused
from packets.sealing.number_free import plain_text

FILE_NAME = "ledger.jsonl"
HEAD_NAME = "ledger.head"
START = "0" * 64
"""`previous` of the first line."""
_LINE_KEYS = frozenset({"event", "at", "facts", "previous", "checksum"})


@dataclass(frozen=True)
class Entry:
    """One line of the ledger."""

    line: int
    """Line number from 1."""
    event: str
    at: str
    """RFC 3339, UTC."""
    facts: dict[str, Json]
    sha256: str
    """Of the line without its line feed: what the next line calls `previous`."""


@dataclass(frozen=True)
class LedgerVerdict:
    """Whether a ledger is whole, and where it is not."""

    sound: bool
    lines: int
    """Good lines before the first bad one."""
    bad_line: int | None = None
    """Number of the first bad line, from 1; one past the end where lines are missing.
    None for a sound ledger, and where only the head file is spoilt."""
    why: str = ""
    head: str = START
    """SHA-256 of the last good line: the value to note elsewhere."""
    clock_back: tuple[int, ...] = ()
    """Good lines dated before the line in front of them: the machine's clock was set back.
    That breaks nothing, because the order of the lines does not rest on their times."""


@dataclass(frozen=True)
class Head:
    """What `ledger.head` says; `lines` is -1 when it cannot be understood."""

    lines: int
    last: str


@dataclass(frozen=True)
class Reading:
    """A ledger file as it lies there."""

    entries: tuple[Entry, ...]
    verdict: LedgerVerdict
    whole: bytes
    """Everything up to the last line feed."""
    torn: bytes
    """What follows it: a line that a killed run did not finish."""
    head: Head | None
    """What the head file says, where there is one."""


def verify(path: Path) -> LedgerVerdict:
    """Judge the ledger at `path` (the file, or the client folder); names the first bad line.

    A ledger that does not exist is sound and empty, unless its head says that it
    had lines. An unfinished last line makes it unsound until the next run repairs
    it. Raises `InputRefused` when the file cannot be read.
    """
    return read_ledger(_ledger_file(path)).verdict


def entries(path: Path) -> tuple[Entry, ...]:
    """All good lines before the first bad one; ask `verify` whether that is all."""
    return read_ledger(_ledger_file(path)).entries


def _ledger_file(path: Path) -> Path:
    return path / FILE_NAME if path.is_dir() else path


def read_ledger(file: Path) -> Reading:
    """Read and judge a ledger file together with its head."""
    return judge(_bytes_of(file), _head_beside(file))


def _bytes_of(file: Path) -> bytes:
    try:
        return file.read_bytes()
    except FileNotFoundError:
        return b""
    except OSError:
        raise InputRefused(
            "the ledger cannot be read",
            where=plain_text(str(file)),
            remedy="See whether you may read this file and whether the disk is reachable.",
        ) from None


def _head_beside(file: Path) -> Head | None:
    data = _bytes_of(file.with_name(HEAD_NAME))
    return head_of(data) if data else None


def head_bytes(head: Head) -> bytes:
    """What the head file holds."""
    return canonical_json({"lines": head.lines, "last": head.last}) + b"\n"


def head_of(data: bytes) -> Head:
    """The head that these bytes are, exactly as `head_bytes` writes it."""
    try:
        record = json.loads(data)
        head = Head(int(record["lines"]), str(record["last"]))
        if head.lines >= 0 and head_bytes(head) == data:
            return head
    except (ValueError, KeyError, TypeError, RecursionError):
        pass
    return Head(-1, "")


def judge(data: bytes, head: Head | None) -> Reading:
    """Judge the bytes of a ledger against its chain, then against its head."""
    cut = data.rfind(b"\n") + 1
    whole, torn = data[:cut], data[cut:]
    good: list[Entry] = []
    for line in whole.split(b"\n")[:-1]:
        entry, why = next_entry(line, good[-1] if good else None)
        if entry is None:
            return _reading(good, (whole, torn), head, len(good) + 1, why)
        good.append(entry)
    bad_line, why = _against_head(good, head)
    if not why and torn:
        bad_line, why = len(good) + 1, "this line is not finished; a run was stopped over it"
    return _reading(good, (whole, torn), head, bad_line, why)


def _reading(
    good: list[Entry], parts: tuple[bytes, bytes], head: Head | None, bad_line: int | None, why: str
) -> Reading:
    verdict = LedgerVerdict(
        sound=not why,
        lines=len(good),
        bad_line=bad_line,
        why=why,
        head=good[-1].sha256 if good else START,
        clock_back=tuple(
            entry.line for before, entry in itertools.pairwise(good) if entry.at < before.at
        ),
    )
    return Reading(tuple(good), verdict, *parts, head)


def next_entry(line: bytes, before: Entry | None) -> tuple[Entry | None, str]:
    """The entry that `line` is after `before`, or None with the reason why it is not one."""
    try:
        record = json.loads(line)
        if not isinstance(record, dict) or record.keys() != _LINE_KEYS:
            return None, "this is not a ledger line"
        if canonical_json(record) != line or checksum_of(record) != record["checksum"]:
            return None, "this line was altered"
    except (ValueError, RecursionError):
        return None, "this is not a ledger line"
    if record["previous"] != (before.sha256 if before else START):
        return None, "this line does not follow the one before it"
    event, at, facts = record["event"], record["at"], record["facts"]
    if not (isinstance(event, str) and isinstance(at, str) and isinstance(facts, dict)):
        return None, "this is not a ledger line"
    return Entry(before.line + 1 if before else 1, event, at, facts, sha256_hex(line)), ""


def _against_head(good: list[Entry], head: Head | None) -> tuple[int | None, str]:
    """The head may be one line behind (a run was stopped between the two), never ahead.

    It is there before the first line is, so a ledger without one has lost it.
    """
    count = len(good)
    if head is None:
        missing = f"{HEAD_NAME} is missing, so a cut end could not be seen"
        return None, missing if count else ""
    if head.lines < 0:
        return None, f"{HEAD_NAME} cannot be understood"
    if head.lines > count:
        return count + 1, f"{head.lines - count} lines are missing from here on"
    if head.lines and good[head.lines - 1].sha256 != head.last:
        return head.lines, f"this line is not the one that {HEAD_NAME} has noted"
    if count - head.lines > 1:
        return head.lines + 2, f"lines from here on are unknown to {HEAD_NAME}"
    return None, ""

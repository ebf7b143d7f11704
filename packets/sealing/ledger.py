"""`ledger.jsonl`: what happened to a client's packets, one line per event, none ever changed.

Each line is the RFC 8785 form of one object: `event`, `at` (RFC 3339, UTC),
`facts`, `previous` (SHA-256 of the line before, without its line feed; 64 zeros
in the first) and `checksum` (over the other keys). `ledger.head` beside it holds
the number of lines and the SHA-256 of the last: a chain alone cannot show that
its end was cut off. The head is written after the line, so after a crash it may
be one behind; it is never ahead. It exists before the first line does.

Lines stand in the order in which they were written. A clock that was set back gives
a line an earlier time than the one in front of it; `LedgerVerdict.clock_back` tells
so, and the chain goes on.

What this shows: any edit, cut, swap or insertion by somebody who does not rewrite
both files from that line on. Against one who does, note the head
(`LedgerVerdict.head`) elsewhere from time to time.
"""

import contextlib
import datetime as dt
import itertools
import os
from pathlib import Path

from packets.base.canonical import Json, canonical_json, checksum_of, sha256_hex
from packets.base.errors import InputRefused, OurFault
from packets.base.files import sync_folder, write_durably
from packets.sealing.folder_lock import folder_locked
from packets.sealing.ledger_chain import (
    FILE_NAME,
    HEAD_NAME,
    START,
    Entry,
    Head,
    LedgerVerdict,
    Reading,
    entries,
    head_bytes,
    judge,
    next_entry,
    read_ledger,
    verify,
)
from packets.sealing.manifest import utc_text
from packets.sealing.number_free import plain_text
from packets.sealing.storage_faults import storage_errors_of

__all__ = ["FILE_NAME", "Entry", "LedgerVerdict", "append", "entries", "verify"]


def append(
    client_folder: Path,
    event: str,
    facts: dict[str, Json],
    *,
    at: dt.datetime | None = None,
) -> Entry:
    """Add one line and return it once it is on the disk; waits for other writers.

    `at` is the current time unless given. Strings in `facts` are shown with any
    number cut to its last four digits, except digests. An unfinished last line is
    repaired first. Raises `InputRefused` for a ledger that is not sound, because
    nothing is built upon a broken one, and for a full disk; `UsageError` for a
    folder that cannot be written. Either way the ledger is as it was.
    """
    with storage_errors_of(client_folder), folder_locked(client_folder):
        return append_locked(client_folder, event, facts, at=at)


def append_locked(
    client_folder: Path,
    event: str,
    facts: dict[str, Json],
    *,
    at: dt.datetime | None = None,
) -> Entry:
    """`append` for a caller who holds the folder's lock; an OSError goes through."""
    moment = dt.datetime.now(dt.UTC) if at is None else at
    repair_locked(client_folder, at=moment)
    file = client_folder / FILE_NAME
    return _add(file, demand_sound(file), event, facts, moment)


def demand_sound(file: Path) -> Reading:
    """The ledger as read; raises `InputRefused` naming its first bad line."""
    return _sound(file, read_ledger(file))


def _sound(file: Path, reading: Reading) -> Reading:
    verdict = reading.verdict
    if verdict.sound:
        return reading
    line = f", line {verdict.bad_line}" if verdict.bad_line else ""
    raise InputRefused(
        f"the ledger is broken{line}: {verdict.why}",
        where=plain_text(str(file)),
        remedy=f"Restore {FILE_NAME} and {HEAD_NAME} from a copy, or move both away and keep "
        "them; a new ledger then begins.",
    )


def repair_locked(client_folder: Path, *, at: dt.datetime) -> bool:
    """Set an unfinished last line aside, or finish it, and record that; True if there was one.

    A line that lacks nothing but its line feed gets it. Else the torn bytes are
    kept in `ledger.torn-<n>` and the line `repaired` is written over them; a crash
    in between leaves a torn line again, never a gap.
    """
    file = client_folder / FILE_NAME
    reading = read_ledger(file)
    if not reading.torn:
        return False
    finished, _ = next_entry(reading.torn, _last_of(reading))
    if finished is not None:
        _write_line(file, len(reading.whole), reading.torn)
        _add(file, demand_sound(file), "repaired", {"finished_line": finished.line}, at)
        return True
    before = _sound(file, judge(reading.whole, reading.head))
    facts: dict[str, Json] = {
        "bytes": len(reading.torn),
        "sha256": sha256_hex(reading.torn),
        "kept_in": _set_aside(client_folder, reading.torn),
    }
    _add(file, before, "repaired", facts, at, over_torn=True)
    return True


def _set_aside(client_folder: Path, torn: bytes) -> str:
    """Keep the bytes under the first free name, or the name they already have."""
    for number in itertools.count(1):
        path = client_folder / f"ledger.torn-{number}"
        if not os.path.lexists(path):
            write_durably(path, torn)
            break
        if path.is_file() and path.read_bytes() == torn:
            break
    return path.name


def _add(
    file: Path,
    before: Reading,
    event: str,
    facts: dict[str, Json],
    at: dt.datetime,
    *,
    over_torn: bool = False,
) -> Entry:
    """Write the next line and the head.

    When the disk refuses, the line is taken out again, unless the head has it
    already (the head must never be ahead) or it was written over torn bytes (then
    either the line is there or something torn is, and the next run sees to it).
    """
    line = line_of(event, at, facts, _last_of(before))
    entry, why = next_entry(line, _last_of(before))
    if entry is None:
        raise OurFault(f"a ledger line was made that cannot be read back: {why}")
    if before.entries and (before.head is None or before.head.lines < entry.line - 1):
        _note_head(file, before.entries[-1])  # a run was stopped before it could
    if before.head is None and not before.entries:
        write_durably(file.with_name(HEAD_NAME), head_bytes(Head(0, START)))
    try:
        _write_line(file, len(before.whole), line)
        _note_head(file, entry)
    except BaseException:
        if not over_torn and read_ledger(file).head != Head(entry.line, entry.sha256):
            with contextlib.suppress(OSError):
                os.truncate(file, len(before.whole))
        raise
    return entry


def line_of(event: str, at: dt.datetime, facts: dict[str, Json], last: Entry | None) -> bytes:
    """The line, without its line feed, that follows `last`."""
    record: dict[str, Json] = {
        "event": event,
        "at": utc_text(at),
        "facts": _number_free(facts),
        "previous": last.sha256 if last else START,
    }
    record["checksum"] = checksum_of(record)
    return canonical_json(record)


def _note_head(file: Path, last: Entry) -> None:
    write_durably(file.with_name(HEAD_NAME), head_bytes(Head(last.line, last.sha256)))


def _last_of(reading: Reading) -> Entry | None:
    return reading.entries[-1] if reading.entries else None


def _number_free(value: Json, key: str = "") -> Json:
    if isinstance(value, str):
        return value if key.endswith("sha256") else plain_text(value)
    if isinstance(value, list):
        return [_number_free(item, key) for item in value]
    if isinstance(value, dict):
        return {plain_text(name): _number_free(item, name) for name, item in value.items()}
    return value


def _write_line(file: Path, offset: int, line: bytes) -> None:
    """Write one line at the end of the whole lines, over what may be torn there, and sync it."""
    is_new = not file.exists()
    descriptor = os.open(file, os.O_RDWR | os.O_CREAT | os.O_NOFOLLOW, 0o600)
    try:
        _write_all(descriptor, line + b"\n", offset)
        os.ftruncate(descriptor, offset + len(line) + 1)
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
    if is_new:
        sync_folder(file.parent)


def _write_all(descriptor: int, data: bytes, offset: int) -> None:
    written = 0
    while written < len(data):
        written += os.pwrite(descriptor, data[written:], offset + written)

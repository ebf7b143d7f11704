"""Which version of which source document was there, and since when: told by the ledger.

`packets` reads documents and never writes, moves or removes one, and it keeps no copy
of them. What it keeps is the record: the first build that meets a file under a name
notes its SHA-256, and a build that meets other bytes under that name notes them as the
next version, with the version before. The time is the time of the ledger line.
"""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

from packets.base.canonical import Json, canonical_json, sha256_hex
from packets.sealing.folder_lock import folder_locked
from packets.sealing.ledger import append_locked, repair_locked
from packets.sealing.ledger_chain import Entry, entries
from packets.sealing.number_free import plain_text
from packets.sealing.storage_faults import storage_errors_of

EVENT = "documents taken in"
FIRST_SEEN, CHANGED, GONE = "first_seen", "changed", "gone"


@dataclass(frozen=True)
class SourceFile:
    """A document as it lies there now."""

    file: str
    """Path inside the client folder."""
    sha256: str


def sources_sha256(files: Iterable[SourceFile]) -> str:
    """One digest for all documents of a folder, by their names as shown and their bytes."""
    listed: list[Json] = [
        list(pair) for pair in sorted((plain_text(file.file), file.sha256) for file in files)
    ]
    return sha256_hex(canonical_json(listed))


@dataclass
class _Name:
    """What the ledger knows of the files that are shown under one name.

    Two names that differ in a number only are shown alike, so there may be several.
    """

    current: list[str] = field(default_factory=list)
    versions: int = 0


def note_sources(
    client_folder: Path, files: Iterable[SourceFile], *, at: dt.datetime | None = None
) -> Entry | None:
    """Add one ledger line on documents that are new, changed or gone; None where none is.

    Raises what `ledger.append` raises.
    """
    moment = at or dt.datetime.now(dt.UTC)
    with storage_errors_of(client_folder), folder_locked(client_folder):
        repair_locked(client_folder, at=moment)
        facts = source_changes(entries(client_folder), files)
        return append_locked(client_folder, EVENT, facts, at=moment) if facts else None


def source_changes(known: tuple[Entry, ...], files: Iterable[SourceFile]) -> dict[str, Json]:
    """The facts of the next line: `first_seen`, `changed` and `gone`, each only if not empty."""
    names = _names(known)
    now: dict[str, list[str]] = defaultdict(list)
    for source in files:
        now[plain_text(source.file)].append(source.sha256)
    facts: dict[str, list[Json]] = {FIRST_SEEN: [], CHANGED: [], GONE: []}
    for name in sorted({*now, *names}):
        state = names.get(name, _Name())
        fresh, past = _without(now[name], state.current), _without(state.current, now[name])
        version = state.versions
        for sha256 in fresh:
            version += 1
            line: dict[str, Json] = {"file": name, "sha256": sha256, "version": version}
            if past:
                facts[CHANGED].append({**line, "was_sha256": past.pop(0)})
            else:
                facts[FIRST_SEEN].append(line)
        facts[GONE].extend({"file": name, "sha256": sha256} for sha256 in past)
    return {event: list(lines) for event, lines in facts.items() if lines}


def current_sources(known: tuple[Entry, ...]) -> tuple[SourceFile, ...]:
    """The documents that were there at the last build, by the names that the ledger shows."""
    return tuple(
        SourceFile(name, sha256)
        for name, state in sorted(_names(known).items())
        for sha256 in state.current
    )


def _without(some: list[str], others: list[str]) -> list[str]:
    """`some` in order, less each of `others` once."""
    left = sorted(some)
    for other in others:
        if other in left:
            left.remove(other)
    return left


def _names(known: tuple[Entry, ...]) -> dict[str, _Name]:
    """What every earlier line together says, by the name shown."""
    names: dict[str, _Name] = defaultdict(_Name)
    for entry in known:
        if entry.event != EVENT:
            continue
        for kind in (CHANGED, GONE, FIRST_SEEN):
            lines = entry.facts.get(kind)
            for line in lines if isinstance(lines, list) else []:
                if isinstance(line, dict):
                    _take(names[str(line.get("file"))], kind, line)
    return names


def _take(name: _Name, kind: str, line: dict[str, Json]) -> None:
    sha256, was = str(line.get("sha256")), str(line.get("was_sha256"))
    gone = sha256 if kind == GONE else was
    if gone in name.current:
        name.current.remove(gone)
    if kind != GONE:
        name.current.append(sha256)
        name.versions += 1

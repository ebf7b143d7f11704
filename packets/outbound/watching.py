"""Watching a folder: each new file is judged once it is whole; what is not clean goes into held/.

A file counts as whole when neither its size nor its time has changed between two
looks. It is moved by one rename into a folder of its own, made for it, so that
nothing is overwritten and a crash leaves it in one of the two places. A file that
has changed while it was read is judged again.
"""

import contextlib
import os
import stat
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from packets.base.errors import UsageError
from packets.base.files import sync_folder, write_durably
from packets.outbound.folder import FolderJudge
from packets.outbound.records import Judgement, Verdict
from packets.outbound.side_by_side import judged_apart
from packets.outbound.walk import Entry, entries_under

HELD = "held"
WHY = "why.txt"
_State = tuple[int, int, int, int]
"""Inode, size, time of change of the content and of the entry: what changes with a file."""


@dataclass(frozen=True)
class Judged:
    """One file that was judged while watching."""

    verdict: Verdict
    held_as: Path | None = None
    """Where it lies now, if it was moved."""
    fault: str = ""
    """Why it could not be moved, if so: it still lies where it may go out."""


def held_beside(folder: Path) -> Path:
    """Where files go that are not clean: `held/` beside the folder, for us alone.

    Raises UsageError where a file cannot be moved there by a rename.
    """
    held = folder.absolute().parent / HELD
    if folder.absolute() in (held, *held.parents) or not folder.is_dir():
        raise UsageError("only a folder can be watched, and not held/ itself", where=str(folder))
    held.mkdir(mode=0o700, exist_ok=True)
    facts = held.lstat()
    if not stat.S_ISDIR(facts.st_mode) or facts.st_dev != folder.stat().st_dev:
        raise UsageError(
            "held/ beside the folder is no folder on the same disk",
            where=str(held),
            remedy="Files are moved by a rename, so that none is ever half there. Watch a folder "
            "whose parent lies on the same disk.",
        )
    held.chmod(0o700)
    return held


class Watch:
    """One folder under watch."""

    def __init__(self, folder: Path, held: Path, judge: FolderJudge) -> None:
        self._folder, self._held, self._judge = folder, held, judge
        self._last: dict[Path, _State] = {}
        self._passed: dict[Path, _State] = {}

    def look(self, tell: Callable[[Judged], None]) -> int:
        """Look once; judge what has not changed since the last look. Returns how many were."""
        seen: dict[Path, _State] = {}
        judged = 0
        for entry in entries_under(self._folder):
            state = None if entry.is_folder else _state(entry.file)
            if state is None:
                continue
            seen[entry.file] = state
            if self._passed.get(entry.file) == state or self._last.get(entry.file) != state:
                continue
            judged += 1
            self._judged(entry, state, tell)
        self._last = seen
        self._passed = {file: state for file, state in self._passed.items() if file in seen}
        self._judge.close()
        return judged

    def _judged(self, entry: Entry, state: _State, tell: Callable[[Judged], None]) -> None:
        found = None if entry.fault else self._judge.known_already(entry)
        if found is None:
            found = judged_apart(lambda: self._judge.read(entry)) or self._judge.lost(entry)
            self._judge.keep(entry, found)
        if _state(entry.file) != state:
            return  # still being written, or gone: the next look begins anew
        verdict = self._judge.named(entry, found)
        if verdict.judgement is Judgement.CLEAN:
            self._passed[entry.file] = state
            tell(Judged(verdict))
            return
        try:
            tell(Judged(verdict, self._moved(entry, verdict)))
        except FileNotFoundError:
            return
        except OSError as error:
            self._passed[entry.file] = state
            tell(Judged(verdict, fault=os.strerror(error.errno or 0).lower()))

    def _moved(self, entry: Entry, verdict: Verdict) -> Path:
        """Move a file into a new folder in held/, with the reasons beside it."""
        place = self._new_folder()
        target = place / entry.file.name
        if target.name == WHY:
            target = place / f"{WHY}.held"
        try:
            entry.file.rename(target)
        except OSError:
            place.rmdir()
            raise
        sync_folder(place)
        sync_folder(entry.file.parent)
        # The file is where it belongs; a full disk may cost the note, not the move.
        with contextlib.suppress(OSError):
            write_durably(place / WHY, _why(verdict).encode("utf-8", "replace"))
        return target

    def _new_folder(self) -> Path:
        number = 1 + sum(1 for _ in self._held.iterdir())
        while True:
            place = self._held / f"{number:05d}"
            try:
                place.mkdir(mode=0o700)
            except FileExistsError:
                number += 1
            else:
                return place


def _state(file: Path) -> _State | None:
    try:
        facts = file.lstat()
    except OSError:
        return None
    return facts.st_ino, facts.st_size, facts.st_mtime_ns, facts.st_ctime_ns


def _why(verdict: Verdict) -> str:
    lines = [f"Held: {verdict.file}", f"SHA-256: {verdict.sha256}", ""]
    lines += [
        f"- {seen.kind}, {seen.how_sure}: {f'page {seen.page}, ' if seen.page else ''}"
        f"{seen.place} (seen by: {seen.reader})"
        for seen in verdict.sightings
    ]
    lines += [f"- not readable: {place}" for place in verdict.unread]
    return "\n".join(lines) + "\n"

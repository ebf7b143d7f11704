"""The numbers of the client folder in which a checked file lies."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from packets.identifiers.kinds import KnownNumber
from packets.intake.identifiers_file import IDENTIFIERS_FILE, load_identifiers
from packets.intake.private_files import close_to_others


def known_for(
    paths: Sequence[Path], identifiers: Path | None
) -> Iterator[tuple[Path, tuple[KnownNumber, ...]]]:
    """Each path with the numbers to look for: those of the file given, else those beside it."""
    given = load_identifiers(identifiers) if identifiers else None
    for path in paths:
        yield path, known_beside(path) if given is None else given


def known_beside(path: Path) -> tuple[KnownNumber, ...]:
    """The numbers of `identifiers.toml` in the folder of a file, or one folder up; else none.

    So `packets check CLIENT/outbound` knows what to look for without being told.
    """
    start = path.absolute()
    for folder in (start, start.parent, start.parent.parent):
        candidate = folder / IDENTIFIERS_FILE
        if candidate.is_file():
            close_to_others(candidate, IDENTIFIERS_FILE)
            return load_identifiers(candidate)
    return ()

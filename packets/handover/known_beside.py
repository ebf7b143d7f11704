"""The numbers of the client folder in which a checked file lies."""

from pathlib import Path

from packets.identifiers.kinds import KnownNumber
from packets.intake.identifiers_file import IDENTIFIERS_FILE, load_identifiers
from packets.intake.private_files import close_to_others


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

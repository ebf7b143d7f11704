"""The client folder: what must be in it, and what is found there."""

from dataclasses import dataclass
from pathlib import Path

from packets.base.errors import InputRefused, UsageError
from packets.base.secret import Secret
from packets.identifiers.kinds import KnownNumber
from packets.intake.engagement import ENGAGEMENT_FILE, EngagementFile, engagement_faults
from packets.intake.folder_walk import FoundFile, list_documents
from packets.intake.identifiers_file import IDENTIFIERS_FILE, load_identifiers
from packets.intake.private_files import close_to_others
from packets.recipe.loader import load_file
from packets.recipe.text_file import read_small_file, shown_path, text_of

SOURCE_PASSWORDS = "keys/source-passwords.txt"
_MOST_PASSWORDS = 200


@dataclass(frozen=True)
class ClientFolder:
    """A client folder that was opened and judged; its documents are not read yet."""

    root: Path
    engagement: EngagementFile
    known: tuple[KnownNumber, ...]
    """The numbers of identifiers.toml, all with `given=True`."""
    files: tuple[FoundFile, ...]
    """The files of documents/ in natural order."""
    ignored: tuple[str, ...]
    """Names that were passed over, each with a reason."""
    passwords: tuple[Secret, ...] = ()
    """Passwords for locked sources, from keys/source-passwords.txt."""
    notes: tuple[str, ...] = ()
    """Sentences about the folder itself: secret files that were open and are closed now."""


def open_client_folder(path: Path) -> ClientFolder:
    """Open the client folder at `path`.

    Raises `UsageError` where there is no such folder, no engagement.toml or no
    documents/, or where a secret file stays open to others; `FileFaults` for
    faults in engagement.toml or identifiers.toml; `InputRefused` with every
    file of documents/ that cannot be taken.
    """
    root = _existing_folder(path)
    engagement = load_file(root / ENGAGEMENT_FILE, EngagementFile, engagement_faults)
    notes = _closed_secret_files(root)
    known = _known_numbers(root)
    passwords = _source_passwords(root)
    listing = list_documents(root)
    if listing.refused:
        count = len(listing.refused)
        raise InputRefused(
            f"{count} file{'s' if count != 1 else ''} cannot be taken\n"
            + "\n".join(f"  {line}" for line in listing.refused),
            where="documents",
            remedy="Convert, rename or take out every file named above, then try again.",
        )
    return ClientFolder(root, engagement, known, listing.files, listing.ignored, passwords, notes)


def _existing_folder(path: Path) -> Path:
    shown = shown_path(path)
    if not path.is_dir():
        raise UsageError(
            "there is no such folder", where=shown, remedy="Give the path of a client folder."
        )
    for name in (ENGAGEMENT_FILE, "documents"):
        found = path / name
        if not (found.exists() or found.is_symlink()):
            raise UsageError(
                f"this is no client folder: it has no {name}",
                where=shown,
                remedy="Run `packets new` with this path to lay one out, then fill it in.",
            )
        _stays_inside(path, name)
    if not (path / "documents").is_dir():
        raise UsageError("this is not a folder", where="documents")
    return path


def _stays_inside(root: Path, name: str) -> None:
    """Refuse a link by which a file of the folder would come from somewhere else."""
    try:
        target = (root / name).resolve(strict=True)
    except (OSError, RuntimeError):
        target = None
    if target is None or not target.is_relative_to(root.resolve()):
        raise InputRefused(
            "this link leads out of the client folder, or nowhere",
            where=name,
            remedy="Put the file itself into the client folder.",
        )


def _known_numbers(root: Path) -> tuple[KnownNumber, ...]:
    if not _is_there(root, IDENTIFIERS_FILE):
        return ()
    return load_identifiers(root / IDENTIFIERS_FILE)


def _source_passwords(root: Path) -> tuple[Secret, ...]:
    """One password a line; white space inside a line belongs to it."""
    if not _is_there(root, SOURCE_PASSWORDS):
        return ()
    text = text_of(read_small_file(root / SOURCE_PASSWORDS), SOURCE_PASSWORDS)
    lines = [line for line in text.splitlines() if line]
    if len(lines) > _MOST_PASSWORDS:
        raise UsageError(f"more than {_MOST_PASSWORDS} passwords", where=SOURCE_PASSWORDS)
    return tuple(Secret(line) for line in lines)


def _closed_secret_files(root: Path) -> tuple[str, ...]:
    notes = []
    for name in (IDENTIFIERS_FILE, SOURCE_PASSWORDS):
        if _is_there(root, name):
            _stays_inside(root, name)
            notes.append(close_to_others(root / name, name))
    return tuple(filter(None, notes))


def _is_there(root: Path, name: str) -> bool:
    path = root / name
    return path.exists() or path.is_symlink()

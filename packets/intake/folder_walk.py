"""Which files of `documents/` are taken, which are passed over, which are refused."""

import os
import re
import unicodedata
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from packets.recipe.text_file import shown_path

MEDIA_BY_ENDING = {
    ".pdf": "application/pdf",
    ".png": "image/png",
    ".jpg": "image/jpeg",
    ".jpeg": "image/jpeg",
    ".tif": "image/tiff",
    ".tiff": "image/tiff",
}
_CLUTTER = frozenset({"thumbs.db", "desktop.ini", "ehthumbs.db", "icon\r"})
_BACKUP = re.compile(r".*~|#.*#|~\$.*|.*\.(?:swp|swo|crdownload)", re.IGNORECASE)
_NUMBER_IN_NAME = re.compile(
    r"(?<!\d)(?:\d{3}[-._ ]?\d{2}[-._ ]?\d{4}|\d{2}[-._ ]\d{7})(?!\d)",
)
_DEEPEST = 20


@dataclass(frozen=True)
class FoundFile:
    """One file of `documents/` that the inventory takes."""

    path: Path
    name: str
    """Path inside the client folder, with forward slashes, in Unicode normal form C."""
    media: str
    """What its ending promises."""
    subfolder: str
    """Name of the first folder under `documents/`, or empty."""


@dataclass(frozen=True)
class FolderListing:
    """Everything found under `documents/`; nothing is passed over without a word."""

    files: tuple[FoundFile, ...]
    ignored: tuple[str, ...]
    """Hidden files, clutter of operating systems, backups of editors: names with a reason."""
    refused: tuple[str, ...]
    """What cannot be taken, each with its name and why."""


def list_documents(root: Path) -> FolderListing:
    """Walk `root/documents` in natural order (scan-2 before scan-10).

    A symbolic link is taken only when it is a file link that ends inside
    `root`; a link to a folder is refused, so that no walk can go in circles.
    """
    walk = _Walk(root)
    walk.enter(root / "documents", 0)
    walk.files.sort(key=lambda found: natural_order(found.name))
    return FolderListing(tuple(walk.files), tuple(walk.ignored), tuple(walk.refused))


def natural_order(name: str) -> tuple[tuple[tuple[int, int, str], ...], str]:
    """Sort key that counts runs of digits as numbers; the name itself breaks ties."""
    pieces = re.split(r"([0-9]+)", unicodedata.normalize("NFC", name).casefold())
    key = tuple(
        (0, int(piece), "") if piece.isdigit() and piece.isascii() else (1, 0, piece)
        for piece in pieces
        if piece
    )
    return key, name


def shown_name(name: str) -> str:
    """A file name for messages: no number that could be a taxpayer's, nothing unprintable."""
    visible = "".join(mark if mark.isprintable() else "?" for mark in name)
    return shown_path(_NUMBER_IN_NAME.sub("(number)", visible))


class _Walk:
    def __init__(self, root: Path) -> None:
        self.root = root
        self.files: list[FoundFile] = []
        self.ignored: list[str] = []
        self.refused: list[str] = []

    def enter(self, folder: Path, depth: int) -> None:
        """Judge every entry of one folder."""
        try:
            names = sorted(os.listdir(folder), key=natural_order)  # noqa: PTH208 - names, not paths
        except OSError:
            self._refuse(folder, "this folder cannot be read")
            return
        for name in names:
            self._judge(folder / name, depth)

    def _judge(self, path: Path, depth: int) -> None:
        reason = passed_over(path.name)
        if reason:
            self.ignored.append(f"{shown_name(self._inside(path))} ({reason})")
        elif path.is_symlink() and not self._link_stays(path):
            self._refuse(path, "this link leads out of the client folder, or nowhere")
        elif path.is_dir():
            self._judge_folder(path, depth)
        elif not path.is_file():
            self._refuse(path, "this is neither a file nor a folder")
        else:
            self._judge_file(path)

    def _judge_folder(self, path: Path, depth: int) -> None:
        if path.is_symlink():
            self._refuse(path, "this is a link to a folder; put the files themselves here")
        elif depth >= _DEEPEST:
            self._refuse(path, "folders are nested too deeply")
        else:
            self.enter(path, depth + 1)

    def _judge_file(self, path: Path) -> None:
        inside = self._inside(path)
        fault = name_fault(inside)
        media = MEDIA_BY_ENDING.get(path.suffix.lower())
        if fault:
            self._refuse(path, fault)
        elif media is None:
            self._refuse(path, "only PDF, PNG, JPEG and TIFF files are taken")
        else:
            steps = PurePosixPath(inside).parts
            subfolder = steps[1] if len(steps) > 2 else ""
            self.files.append(FoundFile(path, inside, media, subfolder))

    def _link_stays(self, path: Path) -> bool:
        try:
            return path.resolve(strict=True).is_relative_to(self.root.resolve())
        except (OSError, RuntimeError):  # RuntimeError: links that go in circles
            return False

    def _inside(self, path: Path) -> str:
        return unicodedata.normalize("NFC", path.relative_to(self.root).as_posix())

    def _refuse(self, path: Path, why: str) -> None:
        self.refused.append(f"{shown_name(self._inside(path))}: {why}")


def passed_over(name: str) -> str:
    """Why a file or folder of this name is no document, or an empty text."""
    if name.startswith("."):
        return "hidden"
    if name.casefold() in _CLUTTER:
        return "made by the operating system"
    if _BACKUP.fullmatch(name):
        return "a backup or unfinished file of another program"
    return ""


def name_fault(name: str) -> str:
    """Why a file of this name cannot be taken, or an empty text.

    File names go into the manifest beside the packet, so a name may hold no
    number that could be a taxpayer's.
    """
    if any(mark == "\\" or not mark.isprintable() for mark in name):
        return "the name holds characters that cannot be shown; rename the file"
    if _NUMBER_IN_NAME.search(unicodedata.normalize("NFKC", name)):
        return "the name may hold a taxpayer number, and names are recorded; rename the file"
    return ""

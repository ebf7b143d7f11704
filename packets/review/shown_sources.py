"""Source pages that were masked for the screen, as pictures, for as long as their file stays."""

import threading
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

from packets.base.canonical import sha256_hex
from packets.intake.engagement import ENGAGEMENT_FILE
from packets.intake.identifiers_file import IDENTIFIERS_FILE
from packets.review.addresses import letters_for
from packets.review.open_cases import Gone
from packets.review.pictures import PageSize, Pictures, PictureShelf
from packets.review.source_pages import MaskedPage

MOST_DOCUMENTS = 60
"""Masked documents that are kept in memory; the oldest is dropped first."""

MOST_CLIENTS = 5
"""Client folders whose masked pages are kept in memory."""

PageKey = tuple[str, str, int]
"""Letters of the client folder, letters of the file, page number from 1."""


Stamp = tuple[tuple[int, int], ...]
"""Sizes of files, with the times of their last change in nanoseconds."""


@dataclass(frozen=True)
class _Shown:
    page: MaskedPage
    stamp: Stamp
    """Of the file when it was masked, and of what decides over its masking."""


@dataclass
class ShownSources:
    """What was masked so far. Safe to ask from several threads."""

    shelf: PictureShelf
    _pages: dict[PageKey, _Shown] = field(default_factory=dict, repr=False)
    _documents: dict[str, Pictures] = field(default_factory=dict, repr=False)
    _clients: list[str] = field(default_factory=list, repr=False)
    _lock: threading.Lock = field(default_factory=threading.Lock, repr=False)

    def keep(self, client: str, folder: Path, pages: Iterable[MaskedPage]) -> None:
        """Take in the result of one masking."""
        with self._lock:
            self._clients = [*(one for one in self._clients if one != client), client]
            for page in pages:
                key = (client, letters_for(page.file), page.page)
                self._pages[key] = _Shown(page, _stamp(folder, page.file))
            while len(self._clients) > MOST_CLIENTS:
                gone = self._clients.pop(0)
                self._pages = {key: one for key, one in self._pages.items() if key[0] != gone}

    def find(self, client: str, folder: Path, file: str, page: int) -> MaskedPage | None:
        """That page, if it was masked from the file as it lies there now."""
        with self._lock:
            kept = self._pages.get((client, letters_for(file), page))
        return kept.page if kept and kept.stamp == _stamp(folder, file) else None

    def png(self, client: str, file: str, page: int) -> bytes:
        """Its picture, by the letters of client and file. Raises Gone."""
        with self._lock:
            kept = self._pages.get((client, file, page))
            if kept is None or not kept.page.pdf:
                raise Gone
            pictures = self._pictures(kept.page)
        key = (sha256_hex(kept.page.pdf), kept.page.at)
        return self.shelf.get(key, lambda: pictures.png(kept.page.at))

    def size(self, page: MaskedPage) -> PageSize:
        """Of a page that was masked, in points."""
        with self._lock:
            return self._pictures(page).sizes[page.at - 1]

    def close(self) -> None:
        """Let go of every document."""
        with self._lock:
            for pictures in self._documents.values():
                pictures.close()
            self._documents.clear()
            self._pages.clear()

    def _pictures(self, page: MaskedPage) -> Pictures:
        key = sha256_hex(page.pdf)
        if key not in self._documents:
            while len(self._documents) >= MOST_DOCUMENTS:
                self._documents.pop(next(iter(self._documents))).close()
            self._documents[key] = Pictures(page.pdf, None)
        return self._documents[key]


def _stamp(folder: Path, file: str) -> Stamp:
    """Of the file, and of where a person says what is hidden and which numbers there are."""
    return tuple(_one(folder / name) for name in (file, ENGAGEMENT_FILE, IDENTIFIERS_FILE))


def _one(path: Path) -> tuple[int, int]:
    """Zeros for a file that is not there."""
    try:
        found = path.stat()
    except (OSError, ValueError):
        return (0, 0)
    return (found.st_size, found.st_mtime_ns)

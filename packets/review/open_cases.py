"""Packets that are open in the pages: read anew for every page, their pictures kept by hash."""

import threading
from collections import OrderedDict
from dataclasses import dataclass, field
from pathlib import Path

from packets.base.errors import PacketsError
from packets.decisions.records import ReviewCase, ReviewDesk, SealedBytes
from packets.review.addresses import letters_for
from packets.review.pictures import PageSize, Pictures, PictureShelf
from packets.review.words import shown

MOST_OPEN = 3
"""Packets whose bytes are kept for drawing."""


CLEAN = "clean"
NEVER_CLEAN = (
    "This packet was never found clean, as one for the office or the agency that holds full "
    "numbers by design: its pages are shown on no screen."
)


class Gone(Exception):
    """What an address names is not open any more: another packet may stand in its place."""


@dataclass(frozen=True)
class OpenCase:
    """A case with what is needed to draw it."""

    case: ReviewCase
    key: str = ""
    """How its pictures are addressed."""
    sizes: tuple[PageSize, ...] = ()
    unshown: str = ""
    """Why its pages cannot be shown; empty where they can."""


@dataclass
class OpenCases:
    """Cases and the pictures of their packets. Safe to ask from several threads."""

    desk: ReviewDesk
    shelf: PictureShelf = field(default_factory=PictureShelf)
    _packets: OrderedDict[str, Pictures] = field(default_factory=OrderedDict, repr=False)
    _lock: threading.Lock = field(default_factory=threading.Lock, repr=False)

    def open(self, client: Path, recipe: str | None) -> OpenCase:
        """The case as it stands now. Raises what the desk raises."""
        case = self.desk.case(client, recipe)
        if case.packet is None:
            return OpenCase(case, unshown="Nothing was sealed: this build was held before that.")
        if case.check.verdict != CLEAN:
            return OpenCase(case, unshown=NEVER_CLEAN)
        key = letters_for(case.packet.sha256)
        try:
            pictures = self._opened(key, case.packet)
        except PacketsError as error:
            return OpenCase(case, unshown=f"Its pages cannot be shown: {shown(error.what)}.")
        return OpenCase(case, key, pictures.sizes)

    def png(self, key: str, page: int) -> bytes:
        """A page of a packet that is open. Raises Gone; IndexError for no such page."""
        pictures = self._kept(key)
        return self.shelf.get((key, page), lambda: pictures.png(page))

    def words(self, key: str, page: int) -> str:
        """The words of that page, any number in them cut to its last four."""
        return shown(self._kept(key).words(page))

    def close(self) -> None:
        """Let go of every packet."""
        with self._lock:
            for pictures in self._packets.values():
                pictures.close()
            self._packets.clear()

    def _kept(self, key: str) -> Pictures:
        with self._lock:
            pictures = self._packets.get(key)
        if pictures is None:
            raise Gone
        return pictures

    def _opened(self, key: str, packet: SealedBytes) -> Pictures:
        with self._lock:
            if key not in self._packets:
                self._packets[key] = Pictures(packet.pdf, packet.passphrase)
            self._packets.move_to_end(key)
            while len(self._packets) > MOST_OPEN:
                self._packets.popitem(last=False)[1].close()
            return self._packets[key]

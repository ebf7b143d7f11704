"""One file of any kind, and every file inside it, judged by what it is.

The kind is told by the first bytes, not by the name; a name that promises
another kind than the bytes hold is unread. Each carrier is taken apart by its
reader in `carriers/`, each text is hunted in, each file inside is judged in its
turn down to a stated depth. What no reader knows is unread, with two stated
exceptions: fewer than five bytes hold no number, and a long word in a text that
would also be Base64 counts as a word unless it decodes to a file of a known kind.
"""

import platform
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from pathlib import PurePosixPath

import olefile

from packets import __version__
from packets.base.errors import InputRefused, Locked
from packets.base.limits import Limits
from packets.outbound.carriers.archives import hides_zip, read_packed, read_tar
from packets.outbound.carriers.compound import MAGIC, read_compound
from packets.outbound.carriers.found import Budget, Found, Part, Sort, Text, Unread
from packets.outbound.carriers.mail import MAIL_ENDINGS, is_mail, read_mail
from packets.outbound.carriers.office import read_zip_or_office
from packets.outbound.carriers.picture_file import beside_pixels, is_picture, pictures_in
from packets.outbound.carriers.rich_text import read_rich_text
from packets.outbound.carriers.text import read_text
from packets.outbound.crude_scan import Hit
from packets.outbound.file_name import without_numbers
from packets.outbound.hunting import Hunter
from packets.outbound.objects.strings import is_text
from packets.outbound.picture_hunt import PictureHunter
from packets.outbound.records import Reading, Sighting

BYTES = "bytes of the file"
TEXT = "text file"
MAIL = "mail"
ARCHIVE = "archive or office file"
PICTURE = "picture file"
INSIDE = "files inside the file"

_PROMISED = {
    **dict.fromkeys((".zip", ".docx", ".xlsx", ".pptx", ".odt", ".ods", ".odp", ".docm"), "zip"),
    **dict.fromkeys((".xlsm", ".pptm", ".dotx", ".xltx", ".epub", ".jar"), "zip"),
    ".msg": "message",
    **dict.fromkeys((".doc", ".xls", ".ppt"), "compound"),
    **dict.fromkeys((".png", ".jpg", ".jpeg", ".gif", ".bmp", ".tif", ".tiff", ".webp"), "picture"),
    **dict.fromkeys((".gz", ".tgz", ".bz2", ".xz"), "packed"),
    ".tar": "tar",
    ".rtf": "rich text",
    **dict.fromkeys((".bin", ".exe", ".dll", ".heic", ".mp3", ".mp4", ".7z", ".rar"), "other"),
    **dict.fromkeys((".txt", ".csv", ".html", ".htm", ".xml", ".json", ".jsonl", ".md"), "text"),
}
"""What the ending of a name promises."""
_ALSO = {
    ("message", "compound"),
    ("compound", "rich text"),
    ("compound", "text"),
    ("text", "mail"),
    ("text", "rich text"),
}
"""Promised and found: office programs save rich text and markup as .doc and .xls too."""
_STARTS = (
    (b"PK\x03\x04", ARCHIVE, "zip"),
    (b"PK\x05\x06", ARCHIVE, "zip"),
    (MAGIC, MAIL, "compound"),
    (b"\x1f\x8b", ARCHIVE, "packed"),
    (b"BZh", ARCHIVE, "packed"),
    (b"\xfd7zXZ\0", ARCHIVE, "packed"),
    (b"{\\rtf", TEXT, "rich text"),
)
_MAY_HIDE = frozenset({"picture", "text", "rich text", ""})
"""Kinds that hand on no files by themselves, behind which an archive may lie."""
_NO_NUMBER = 5
"""Fewer bytes than these cannot hold a number."""
_SHORT_WORD = 512
"""Bytes of what may be Base64, or may be just a long word."""

PdfInside = Callable[[bytes, str], tuple[tuple[Reading, ...], tuple[str, ...]]]
"""Reads a PDF, given its bytes and its name there. Raises InputRefused."""


@dataclass
class _Notes:
    sightings: set[Sighting] = field(default_factory=set)
    unread: list[str] = field(default_factory=list)


class Contents:
    """The judging of one file from outside; the files inside share its budget and readers."""

    def __init__(
        self,
        hunter: Hunter,
        pictures: PictureHunter,
        limits: Limits,
        read_pdf: PdfInside,
        budget: Budget | None = None,
    ) -> None:
        self._hunter = hunter
        self._pictures = pictures
        self._limits = limits
        self._read_pdf = read_pdf
        self._budget = budget or Budget()
        self._notes: dict[str, _Notes] = {}
        self._inner: list[Reading] = []

    def readings(self, name: str, data: bytes) -> tuple[Reading, ...]:
        """Everything that was seen in the file and in those inside it, reader by reader."""
        self._judge(Part(name, data), "", 0)
        versions = {
            PICTURE: self._pictures.version,
            MAIL: f"Python {platform.python_version()}, olefile {olefile.__version__}",
        }
        return (
            *(
                Reading(
                    reader,
                    versions.get(reader, f"packets {__version__}"),
                    0,
                    tuple(sorted(notes.sightings)),
                    tuple(dict.fromkeys(notes.unread)),
                )
                for reader, notes in self._notes.items()
            ),
            *self._inner,
        )

    def _judge(self, part: Part, where: str, depth: int) -> None:
        reader, kind = _kind_of(part)
        self._notes.setdefault(reader, _Notes())
        try:
            if depth > self._budget.depth:
                self._unread(
                    reader, where, f"files inside files beyond {self._budget.depth} levels"
                )
                return
            if kind == "pdf":
                self._pdf(part, where)
            else:
                self._see(BYTES, where, "bytes of the file", self._hunter.in_bytes(part.data))
                self._read(part, kind, reader, where, depth)
        except InputRefused as refused:
            self._unread(reader, where, refused.what)
        except RecursionError:
            self._unread(reader, where, "it is nested deeper than this check can follow")

    def _read(self, part: Part, kind: str, reader: str, where: str, depth: int) -> None:
        promised = _PROMISED.get(PurePosixPath(part.name).suffix.lower(), "")
        if (
            kind not in ("", "empty")
            and promised not in ("", kind)
            and (promised, kind) not in _ALSO
        ):
            words = "its name promises another kind of file, as which this check cannot read it"
            self._unread(reader, where, words)
        if kind in _MAY_HIDE and hides_zip(part.data):
            self._take(read_zip_or_office(part.data, self._budget), ARCHIVE, where, depth)
        readers: dict[str, Callable[[], Iterable[Found]]] = {
            "zip": lambda: read_zip_or_office(part.data, self._budget),
            "tar": lambda: read_tar(part.data, self._budget),
            "packed": lambda: read_packed(part.data, self._budget),
            "compound": lambda: read_compound(part.data, self._budget),
            "mail": lambda: read_mail(part.data, self._budget),
            "rich text": lambda: read_rich_text(part.data, self._budget),
            "text": lambda: read_text(part.data, part.name, self._budget, part.charset),
            "picture": lambda: self._picture(part.data, where),
            "empty": lambda: (),
        }
        if kind in readers:
            self._take(readers[kind](), reader, where, depth)
        elif not (part.is_guess and len(part.data) <= _SHORT_WORD):
            words = "a file of a kind that this check cannot read"
            self._unread(reader, where, words)

    def _take(self, things: Iterable[Found], reader: str, where: str, depth: int) -> None:
        for thing in things:
            if isinstance(thing, Text):
                self._see(reader, where, thing.place, self._hits(thing))
            elif isinstance(thing, Unread):
                self._unread(reader, where, thing.words)
            else:
                name, hits = without_numbers(thing.name, self._hunter)
                self._see(reader, where, "name of a file inside", hits)
                self._judge(thing, _within(where, name), depth + 1)

    def _hits(self, text: Text) -> tuple[Hit, ...]:
        look = {
            Sort.SHOWN: self._hunter.in_page,
            Sort.HIDDEN: self._hunter.in_string,
            Sort.JOINED: self._hunter.in_seams,
        }.get(text.sort)
        return look(text.words) if look else self._hunter.in_digits((text.words,))

    def _picture(self, data: bytes, where: str) -> Iterable[Found]:
        for picture in pictures_in(data, self._limits):
            bars, letters = self._pictures.bars(picture), self._pictures.letters(picture)
            self._see(PICTURE, where, "the picture", tuple(sorted(bars.hits | letters.hits)))
            if bars.undecoded:
                yield Unread("a bar code that cannot be decoded")
            if letters.poor:
                yield Unread("a picture that can only be read poorly")
        yield from beside_pixels(data, self._budget)

    def _pdf(self, part: Part, where: str) -> None:
        try:
            readings, unread = self._read_pdf(part.data, part.name)
        except Locked:
            self._unread(INSIDE, where, "a file that asks for a password")
            return
        self._inner += [_moved(reading, where) for reading in readings]
        for words in unread:
            self._unread(INSIDE, where, words)

    def _see(self, reader: str, where: str, place: str, hits: Iterable[Hit]) -> None:
        notes = self._notes.setdefault(reader, _Notes())
        at = f"{where}: {place}" if where else place
        notes.sightings |= {Sighting(kind, 0, at, reader, sure) for kind, sure in hits}

    def _unread(self, reader: str, where: str, words: str) -> None:
        notes = self._notes.setdefault(reader, _Notes())
        notes.unread.append(f"{where}: {words}" if where else words)


def _within(where: str, name: str) -> str:
    shown = "".join(sign if sign.isprintable() else "?" for sign in name)[:120]
    return f"{where} > {shown}" if where else shown


def _moved(reading: Reading, where: str) -> Reading:
    """A reading of a PDF inside, told by the place of that PDF."""
    if not where:
        return reading
    return replace(
        reading,
        sightings=tuple(
            replace(seen, page=0, place=f"{where}: {seen.place}") for seen in reading.sightings
        ),
        unread=tuple(f"{where}: {words}" for words in reading.unread),
    )


def _kind_of(part: Part) -> tuple[str, str]:
    """The reader that takes a file, and the kind; no kind where nobody knows it."""
    data = part.data
    suffix = PurePosixPath(part.name).suffix.lower()
    if b"%PDF-" in data[:1024] or suffix == ".pdf":
        return INSIDE, "pdf"
    known = next((each for start, *each in _STARTS if data.startswith(start)), None)
    if known is not None:
        return known[0], known[1]
    if data[257:262] == b"ustar":
        return ARCHIVE, "tar"
    if is_picture(data) and not (data.startswith(b"BM") and is_text(data)):
        return PICTURE, "picture"
    if len(data) < _NO_NUMBER or not is_text(data):
        return BYTES, "empty" if len(data) < _NO_NUMBER else ""
    return (MAIL, "mail") if suffix in MAIL_ENDINGS or is_mail(data) else (TEXT, "text")

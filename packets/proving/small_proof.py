"""The small proof of each build: one plant for each reader, on the packet that goes out.

All plants lie in ONE copy, each with a number and a KIND of its own, and each counts as
found only when the reader that it is meant for reports a number of that kind. So one run
of the check proves them one by one: no plant can stand in for another, and no reader for
another. The copy holds ONE PAGE of the packet, locked with the packet's own passphrase and
packed into object streams as the packet is. Copies of the whole packet would prove no
more about the readers, and would make the build of a long packet up to twice as slow;
with a single page the cost hardly grows with the packet. What the pixels are to show
lies on ONE picture: of several, the check would read the page as well.
"""

import contextlib
import hashlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import pikepdf
import zxingcpp
from pikepdf import Pdf, String
from PIL import Image

from packets.base.errors import InputRefused
from packets.base.secret import Secret
from packets.identifiers.kinds import Kind, MaskPolicy
from packets.outbound.check import check_pdf
from packets.outbound.object_reader import READER as OBJECTS
from packets.outbound.page_text_reader import READER as PAGE_TEXT
from packets.outbound.pixel_reader import READER as PIXELS
from packets.outbound.raw_reader import READER as RAW
from packets.outbound.records import Sighting
from packets.proving.bar_codes import code_picture
from packets.proving.copies import Copy, opened
from packets.proving.glyph_pictures import write_on
from packets.proving.loose_objects import appended, loose_string, with_loose_object
from packets.proving.numbers import as_known, never_assigned_from
from packets.proving.page_frame import inherited_resources
from packets.proving.pictures import grey_object, lay
from packets.proving.records import Check, Outcome, Planted, Proof, Told
from packets.proving.shown_text import literal

_TOLD = "known number"
_FAMILY = "small proof"
_PICTURE = (900, 120)
_KEPT_IN_ROOT = ("/Type", "/Pages")


@dataclass(frozen=True)
class _Room:
    """Where plants go."""

    copy: Copy
    picture: Image.Image
    """The picture that is laid on the page in the end."""


@dataclass(frozen=True)
class _Small:
    """One plant of the small proof."""

    name: str
    kind: Kind
    reader: str
    """Name of the reader that must see it."""
    plant: Callable[[_Room, str], None]
    told: Told = Told.KNOWN

    def is_seen_in(self, sighting: Sighting) -> bool:
        """Whether a sighting is of this plant, by the reader that it is meant for."""
        known = sighting.how_sure == _TOLD
        return (sighting.kind, sighting.reader, known) == (
            self.kind.value,
            self.reader,
            self.told is Told.KNOWN,
        )


def _text(room: _Room, number: str) -> None:
    room.copy.write(literal(f"Sample {number}") + b" Tj")


def _information(room: _Room, number: str) -> None:
    room.copy.pdf.docinfo["/Subject"] = String(f"of {number}")


def _loose(room: _Room, number: str) -> None:
    room.copy.late.append(
        lambda data, lock: with_loose_object(
            data, lock, lambda seal: loose_string(seal(number.encode()))
        )
    )


def _behind_the_end(room: _Room, number: str) -> None:
    room.copy.late.append(lambda data, _: appended(data, b"% about " + number.encode() + b"\n"))


def _print(room: _Room, number: str) -> None:
    write_on(room.picture, f"Sample number {number} on file", (40, 35), 36)


def _bar_code(room: _Room, number: str) -> None:
    # Of all codes the one that recognition does not try to read as letters.
    code = code_picture(number, zxingcpp.BarcodeFormat.DataMatrix)
    room.picture.paste(code, (820, 30))


PLANTS = (
    _Small("text on the page", Kind.SSN, PAGE_TEXT, _text),
    _Small("subject, number not told", Kind.ITIN, PAGE_TEXT, _information, Told.UNKNOWN),
    _Small("object that nothing refers to", Kind.ATIN, OBJECTS, _loose),
    _Small("behind the end of the file", Kind.EIN, RAW, _behind_the_end),
    _Small("picture", Kind.ACCOUNT, PIXELS, _print),
    _Small("bar code", Kind.CARD, PIXELS, _bar_code),
)


def prove_small(packet: bytes, passphrase: Secret | None, *, check: Check = check_pdf) -> Proof:
    """Plant in a copy of one page of the packet, check it once, and tell what was found.

    `packet` is the finished file, `passphrase` what opens it. A copy that cannot be made or
    checked counts as missed in every place.
    """
    seed = hashlib.sha256(packet).hexdigest()
    numbers = [_number(plant, seed, at) for at, plant in enumerate(PLANTS)]
    known = [
        as_known(number, plant.kind)
        for plant, number in zip(PLANTS, numbers, strict=True)
        if plant.told is Told.KNOWN
    ]
    sightings: tuple[Sighting, ...] = ()
    with contextlib.suppress(InputRefused, pikepdf.PdfError, ValueError):
        copy = _one_page(packet, passphrase)
        room = _Room(copy, Image.new("L", _PICTURE, 255))
        for plant, number in zip(PLANTS, numbers, strict=True):
            plant.plant(room, number)
        lay(copy, grey_object(copy, room.picture), b"225 0 0 30 0 100 cm")
        sightings = check(
            copy.saved(),
            name="copy.pdf",
            passphrase=passphrase,
            known=known,
            policy=MaskPolicy(),
        ).sightings
    return Proof(tuple(_row(plant, sightings) for plant in PLANTS))


def _number(plant: _Small, seed: str, at: int) -> str:
    if plant.told is Told.UNKNOWN:
        # Of the published range that is an ITIN by shape and nobody's number.
        return f"987-65-432{int(seed[:4], 16) % 10}"
    return never_assigned_from(seed, at)


def _row(plant: _Small, sightings: tuple[Sighting, ...]) -> Planted:
    seen = any(plant.is_seen_in(sighting) for sighting in sightings)
    outcome = Outcome.FOUND if seen else Outcome.MISSED
    return Planted(_FAMILY, plant.name, plant.told, outcome, (plant.reader,) if seen else ())


def _one_page(packet: bytes, passphrase: Secret | None) -> Copy:
    """The packet cut down to one page, under the packet's own lock."""
    whole, lock = opened(packet, passphrase)
    kept = _plain_page(whole)
    for at in reversed(range(len(whole.pages))):
        if at != kept:
            del whole.pages[at]
    for holder, key in _ways_to_others(whole):
        if key in holder:
            del holder[key]
    copy = Copy(whole, lock.keeping(whole))
    copy.object_streams = pikepdf.ObjectStreamMode.generate
    return copy


def _ways_to_others(single: Pdf) -> Iterator[tuple[pikepdf.Object, str]]:
    """Entries that may still lead to pages that were taken out, and what the title says."""
    for key in set(single.Root.keys()).difference(_KEPT_IN_ROOT):
        yield single.Root, key
    yield single.pages[0].obj, "/Annots"
    yield single.trailer, "/Info"


def _plain_page(whole: Pdf) -> int:
    """The page in the middle, or the next after it without pictures and forms; else the first.

    Every picture of the page would be read once more, which takes longer than all else.
    """
    count = len(whole.pages)
    for step in range(count):
        at = (count // 2 + step) % count
        resources = inherited_resources(whole.pages[at])
        if resources is None or not len(resources.get("/XObject", {})):
            return at
    return 0

"""The small proof of each build: one plant for each reader, on the packet that goes out.

All plants lie in ONE copy, each with a number and a KIND of its own, and each counts as
found only when the reader that it is meant for reports a number of that kind. So one run
of the check proves them one by one: no plant can stand in for another, and no reader for
another. The copy holds ONE PAGE of the packet, locked with the packet's own passphrase and
packed into object streams as the packet is. Copies of the whole packet would prove no
more about the readers, and would make the build of a long packet up to twice as slow;
with a single page the cost does not grow with the packet.
"""

import contextlib
import hashlib
from collections.abc import Callable
from dataclasses import dataclass

import pikepdf
import zxingcpp
from pikepdf import Page, Pdf, String

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
from packets.proving.glyph_pictures import picture_of
from packets.proving.loose_objects import appended, loose_string, with_loose_object
from packets.proving.numbers import as_known, never_assigned_from
from packets.proving.page_frame import inherited_resources
from packets.proving.pictures import grey_object, lay
from packets.proving.records import Check, Outcome, Planted, Proof, Told
from packets.proving.shown_text import literal

_TOLD = "known number"
_FAMILY = "small proof"


@dataclass(frozen=True)
class _Small:
    """One plant of the small proof."""

    name: str
    kind: Kind
    reader: str
    """Name of the reader that must see it."""
    plant: Callable[[Copy, str], None]
    told: Told = Told.KNOWN

    def is_seen_in(self, sighting: Sighting) -> bool:
        """Whether a sighting is of this plant, by the reader that it is meant for."""
        known = sighting.how_sure == _TOLD
        return (sighting.kind, sighting.reader, known) == (
            self.kind.value,
            self.reader,
            self.told is Told.KNOWN,
        )


def _text(copy: Copy, number: str) -> None:
    copy.write(literal(f"Sample {number}") + b" Tj")


def _information(copy: Copy, number: str) -> None:
    copy.pdf.docinfo["/Subject"] = String(f"of {number}")


def _loose(copy: Copy, number: str) -> None:
    copy.late.append(
        lambda data, lock: with_loose_object(
            data, lock, lambda seal: loose_string(seal(number.encode()))
        )
    )


def _behind_the_end(copy: Copy, number: str) -> None:
    copy.late.append(lambda data, _: appended(data, b"% about " + number.encode() + b"\n"))


def _picture(copy: Copy, number: str) -> None:
    picture = picture_of(f"Sample {number}", (620, 120), (40, 35))
    lay(copy, grey_object(copy, picture), b"155 0 0 30 0 100 cm")


def _bar_code(copy: Copy, number: str) -> None:
    code = code_picture(number, zxingcpp.BarcodeFormat.QRCode)
    lay(copy, grey_object(copy, code), b"60 0 0 60 0 20 cm")


PLANTS = (
    _Small("text on the page", Kind.SSN, PAGE_TEXT, _text),
    _Small("subject, number not told", Kind.ITIN, PAGE_TEXT, _information, Told.UNKNOWN),
    _Small("object that nothing refers to", Kind.ATIN, OBJECTS, _loose),
    _Small("behind the end of the file", Kind.EIN, RAW, _behind_the_end),
    _Small("picture", Kind.ACCOUNT, PIXELS, _picture),
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
        for plant, number in zip(PLANTS, numbers, strict=True):
            plant.plant(copy, number)
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
    """A copy of the packet cut down to one page."""
    whole, lock = opened(packet, passphrase)
    single = Pdf.new()
    single.pages.append(_plain_page(whole))
    copy = Copy(single, lock)
    copy.object_streams = pikepdf.ObjectStreamMode.generate
    return copy


def _plain_page(whole: Pdf) -> Page:
    """The page in the middle, or the next after it without pictures and forms; else the first.

    Every picture of the page would be read once more, which takes longer than all else.
    """
    count = len(whole.pages)
    for step in range(count):
        page = whole.pages[(count // 2 + step) % count]
        resources = inherited_resources(page)
        if resources is None or not len(resources.get("/XObject", {})):
            return page
    return whole.pages[0]

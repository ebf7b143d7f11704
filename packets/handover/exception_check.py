"""Is what a person let through all by which a packet differs from one that was masked whole?

The packet is bound a second time with every number masked: that twin must be clean, and
the proof is made on it. Then the packet and its twin must be the same, page for page,
glyph for glyph and pixel for pixel, but at the places that were let through, where the
packet shows the very digits that a person saw. And whatever the check sees in the packet
must be one of these: on such a page, by its shape alone. Anything else holds it.
"""

import io
import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import pikepdf

from packets.base.errors import Damaged
from packets.base.geometry import Box
from packets.handover.exceptions import Excepted
from packets.handover.glyphs_as_shown import glyph_middles
from packets.identifiers.digits import only_digits
from packets.outbound.records import Sighting, Verdict
from packets.sealing.records import SealedPacket

if TYPE_CHECKING:
    import numpy as np
    import pypdfium2
    from numpy.typing import NDArray

_DPI = 100
_RIM = 2.0
"""Points about a place that may differ as well: masks are wider than digits."""
_SAME = 6
"""Steps of 255 by which a pixel may differ."""
_UNSURE = ("shape", "bare run")
_OBJECT = re.compile(r"object (\d+) (\d+), (?:shown text|stream)")

Places = Mapping[int, Sequence[Excepted]]
"""By packet page, from 1."""


def exception_holds(
    packet: bytes, twin: bytes, sealed: SealedPacket, verdict: Verdict, places: Places
) -> Iterator[str]:
    """Why the packet may not go as it is, in sentences.

    `packet` and `twin` are not encrypted; `verdict` is the check's own over `sealed`.
    """
    yield from _differences(packet, twin, places)
    objects = _content_objects(sealed, places)
    for sighting in verdict.sightings:
        if not _explained(sighting, places, objects):
            where = f"page {sighting.page}" if sighting.page else "the file"
            yield (
                f"{where}: {sighting.kind} in {sighting.place}, which nobody let through "
                f"({sighting.how_sure})"
            )
    for words in verdict.unread:
        yield f"could not be read: {words}"


def _explained(sighting: Sighting, places: Places, objects: frozenset[tuple[int, int]]) -> bool:
    if sighting.how_sure not in _UNSURE:
        return False
    if sighting.page:
        return sighting.page in places
    named = _OBJECT.fullmatch(sighting.place)
    return named is not None and (int(named[1]), int(named[2])) in objects


def _content_objects(sealed: SealedPacket, places: Places) -> frozenset[tuple[int, int]]:
    """Content streams and forms of these pages, less those that any other page draws, too."""
    password = sealed.passphrase.reveal() if sealed.passphrase else ""
    try:
        with pikepdf.open(io.BytesIO(sealed.pdf), password=password) as document:
            mine: set[tuple[int, int]] = set()
            others: set[tuple[int, int]] = set()
            for number, page in enumerate(document.pages, start=1):
                _gather(page.obj, mine if number in places else others)
    except (pikepdf.PdfError, pikepdf.PasswordError):
        raise Damaged("the packet cannot be opened again") from None
    return frozenset(mine - others)


def _gather(drawn: pikepdf.Object, found: set[tuple[int, int]]) -> None:
    contents = drawn.get("/Contents")
    for stream in contents if isinstance(contents, pikepdf.Array) else [contents]:
        if isinstance(stream, pikepdf.Stream):
            found.add(stream.objgen)
    resources = drawn.get("/Resources")
    forms = resources.get("/XObject") if isinstance(resources, pikepdf.Dictionary) else None
    for form in forms.values() if isinstance(forms, pikepdf.Dictionary) else ():
        if form.get("/Subtype") == "/Form" and form.objgen not in found:
            found.add(form.objgen)
            _gather(form, found)


@dataclass(frozen=True)
class _Glyph:
    """A glyph as PDFium reads it; its middle in points as shown, to a tenth."""

    char: str
    x: float
    y: float


def _differences(packet: bytes, twin: bytes, places: Places) -> Iterator[str]:
    import numpy as np  # noqa: PLC0415 - most packets let nothing through
    import pypdfium2  # noqa: PLC0415 - as above

    one, other = pypdfium2.PdfDocument(packet), pypdfium2.PdfDocument(twin)
    try:
        if len(one) != len(other):
            yield "the packet has other pages than one that is masked whole"
            return
        for number in range(1, len(one) + 1):
            page, masked = one[number - 1], other[number - 1]
            excepted = places.get(number, ())
            boxes = [it.box.grown(_RIM) for it in excepted]
            glyphs, hidden = _glyphs(page), _glyphs(masked)
            if _outside(glyphs, boxes) != _outside(hidden, boxes):
                yield f"page {number}: text beside what is let through differs, too"
            shown, covered = _pixels(page), _pixels(masked)
            if shown.shape != covered.shape:
                yield f"page {number}: it has another size"
                continue
            for box in boxes:
                shown[_part(box)] = covered[_part(box)] = 0
            if np.abs(shown - covered).max(initial=0) > _SAME:
                yield f"page {number}: it looks different beside what is let through"
            yield from _other_digits(number, glyphs, excepted)
    finally:
        one.close()
        other.close()


def _other_digits(
    number: int, glyphs: Sequence[_Glyph], excepted: Sequence[Excepted]
) -> Iterator[str]:
    for it in excepted:
        there = "".join(glyph.char for glyph in glyphs if it.box.holds(glyph.x, glyph.y))
        if only_digits(there) != it.digits.reveal():
            yield f"page {number}: other digits stand where a person looked"


def _outside(glyphs: Sequence[_Glyph], boxes: Sequence[Box]) -> Counter[_Glyph]:
    return Counter(glyph for glyph in glyphs if not any(b.holds(glyph.x, glyph.y) for b in boxes))


def _glyphs(page: "pypdfium2.PdfPage") -> list[_Glyph]:
    """In the order of the text; white space does not count."""
    return [_Glyph(char, round(x, 1), round(y, 1)) for char, x, y in glyph_middles(page)]


def _pixels(page: "pypdfium2.PdfPage") -> "NDArray[np.int16]":
    import numpy as np  # noqa: PLC0415 - most packets let nothing through

    drawn = page.render(scale=_DPI / 72, may_draw_forms=False)
    return np.asarray(drawn.to_numpy(), dtype=np.int16)


def _part(box: Box) -> tuple[slice, slice]:
    scale = _DPI / 72
    return (
        slice(max(int(box.y0 * scale), 0), max(int(box.y1 * scale) + 1, 0)),
        slice(max(int(box.x0 * scale), 0), max(int(box.x1 * scale) + 1, 0)),
    )

"""Glyphs of a part of a page, kept small from the first look until somebody asks for them."""

from array import array
from collections.abc import Iterator
from typing import Any

from packets.reading.drawn_strings import DrawnStrings
from packets.reading.glyphs import PageGlyphs, Traced
from packets.reading.records import Band, BandGlyphs, KeptSpan

_LEAST_ASCENDER = 1e-3
"""A font that claims less is taken to reach as far as most do, as the trace takes it."""


def kept_glyphs(strings: DrawnStrings, band: Band) -> BandGlyphs:
    """The glyphs of the lines that reach into a band; all of them run to the right."""
    lines = strings.glyph_lines(band.top, band.bottom)
    spans = (_kept(span) for line in lines for span in line["spans"])
    return BandGlyphs(tuple(span for span in spans if span.text))


def _kept(span: dict[str, Any]) -> KeptSpan:
    """Without spaces that nobody drew."""
    drawn = [item for item in span["chars"] if not item["synthetic"]]
    places = array("f")  # MuPDF's own precision
    for item in drawn:
        left, _, right, _ = item["bbox"]
        places.extend((left, right, *item["origin"]))
    text = "".join(item["c"] for item in drawn)
    look = span["size"], span["ascender"], span["descender"], span["color"]
    return KeptSpan(text, places.tobytes(), *look)


def glyphs_of(band: BandGlyphs) -> PageGlyphs:
    """The same as the glyphs of a page."""
    return PageGlyphs([_traced(span) for span in band.spans], {})


def _traced(span: KeptSpan) -> Traced:
    """As the trace gives it, which makes each box as high as the type size."""
    ascender, descender = span.ascender, span.descender
    if ascender < _LEAST_ASCENDER:
        ascender, descender = 0.9, -0.1
    above = ascender * span.size / (ascender - descender)
    return {
        "dir": (1.0, 0.0), "wmode": 0, "size": span.size,
        "color": _components(span.colour), "chars": list(_chars(span, above)),
        "ascender": span.ascender, "descender": span.descender,
    }  # fmt: skip


def _chars(span: KeptSpan, above: float) -> Iterator[tuple[Any, ...]]:
    places = iter(array("f", span.places))
    for char, left, right, x, base in zip(span.text, *[places] * 4, strict=True):
        box = (left, base - above, right, base - above + span.size)
        yield ord(char), 0, (x, base), box


def _components(colour: int) -> tuple[float, ...]:
    """Red, green and blue from 0 to 1."""
    return (colour >> 16 & 255) / 255, (colour >> 8 & 255) / 255, (colour & 255) / 255

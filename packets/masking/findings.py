"""What is to be masked on one page: the glyphs that go, and how the place reads afterwards."""

from collections.abc import Sequence
from dataclasses import dataclass

import pymupdf

from packets.base.geometry import Box
from packets.identifiers.digits import fold
from packets.identifiers.kinds import Kind, KnownNumber, MaskPolicy
from packets.identifiers.layout import find_on_page
from packets.reading.glyphs import Glyph, page_glyphs, shown_box


@dataclass(frozen=True)
class TextFinding:
    """One number on a page, with the glyphs that go."""

    kind: Kind
    shown: str
    place: Box
    """On the page as shown."""
    glyphs: tuple[Glyph, ...]
    mask: str
    """The character that stands in for each glyph."""


def text_findings(
    page: pymupdf.Page, known: Sequence[KnownNumber], policy: MaskPolicy, *, blank: bool = False
) -> tuple[TextFinding, ...]:
    """Every number in the page's text that the policy masks.

    With `blank` a number goes whole and leaves room to be written in.
    """
    read = page_glyphs(page)
    findings = []
    for sheet in read.sheets:
        for match in find_on_page(sheet, known, policy):
            going = match.digits if blank else match.hidden
            mask = " " if blank else policy.glyph
            gone = {number for digit in going for number in digit}
            if not gone:
                continue
            written = [place[0] for place in match.written]
            shown = "".join(mask if k in gone else _plain(read.glyphs[k].char) for k in written)
            everything = [read.glyphs[k].box for place in match.written for k in place]
            findings.append(
                TextFinding(
                    match.kind,
                    shown,
                    shown_box(page, everything),
                    tuple(read.glyphs[k] for k in sorted(gone)),
                    mask,
                )
            )
    return tuple(findings)


def _plain(char: str) -> str:
    return fold(char).text or char


def origin_in_pdf(page: pymupdf.Page, glyph: Glyph) -> tuple[float, float]:
    """The glyph's origin in default user space: points, origin lower left."""
    point = pymupdf.Point(glyph.origin) * ~_unrotated(page)
    return point.x, point.y


def _unrotated(page: pymupdf.Page) -> pymupdf.Matrix:
    """From default user space to the unrotated page with its origin upper left.

    The page shows what its crop box and its media box share (ISO 32000-2,
    14.11.2), enlarged by its user unit. PyMuPDF gives the crop box with y
    running downward from the top of the media box.
    """
    crop, media = page.cropbox, page.mediabox
    left = max(crop.x0, media.x0)
    top = min(media.y1 - crop.y0, media.y1)
    unit = _user_unit(page)
    return pymupdf.Matrix(unit, 0, 0, -unit, -left * unit, top * unit)


def _user_unit(page: pymupdf.Page) -> float:
    kind, text = page.parent.xref_get_key(page.xref, "UserUnit")
    return float(text) if kind in ("int", "float", "real") and float(text) > 0 else 1.0

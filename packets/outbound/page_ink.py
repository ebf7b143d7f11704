"""What a page draws: texts, pictures, and drawn shapes that could be digits or bars."""

import ctypes
import itertools
from dataclasses import dataclass, field
from typing import Any

import pypdfium2.raw as pdfium_c

from packets.outbound.ink_shapes import (
    SPECK_HEIGHT,
    SPECK_LENGTH,
    Bounds,
    bounds_of,
    heaps,
    is_clipped_by_a_drawing,
    mirrors,
)
from packets.outbound.pdfium_calls import (
    as_object,
    kind_of,
    object_in_form,
    object_of_annotation,
    object_on,
    objects_in_form,
    objects_of_annotation,
    objects_on,
    segments_of,
)
from packets.outbound.pdfium_document import Page

_DEEPEST = 20
_MOST_ANNOTATIONS = 20_000
_MOST_OBJECTS = 500_000
_GLYPH_SEGMENTS = 6
"""An outline with this many segments is no rule and no box: it may be a letter."""
_GLYPH_SIDE = 72.0
"""Greatest side in points of a single drawn letter."""
_ENOUGH_GLYPHS = 4
_MANY_SEGMENTS = 24
"""One path with this many segments may hold a whole number, or a bar code."""
_BAR_WIDTH = 5.0
_BAR_LENGTH = 120.0
_BAR_GAP = 8.0
_LONG_ROW, _SHORT_ROW, _SHORT_ROWS = 12, 5, 3
_TEXT, _PATH = pdfium_c.FPDF_PAGEOBJ_TEXT, pdfium_c.FPDF_PAGEOBJ_PATH


@dataclass
class PageInk:
    """What a page draws."""

    texts: list[int] = field(default_factory=list)
    """Addresses of PDFium's page objects of texts, those inside forms too; of annotations none."""
    pictures: list[Any] = field(default_factory=list)
    """PDFium page objects of pictures, those inside forms too."""
    outlines: list[Any] = field(default_factory=list)
    """Page objects of paths that may be letters or whole numbers, those inside forms too."""
    forms: list[Any] = field(default_factory=list)
    """Page objects of forms that stand on the page itself."""
    letters: list[Bounds] = field(default_factory=list)
    """Outlines that may be single letters."""
    drawings: list[Bounds] = field(default_factory=list)
    """Paths of many segments, shadings, and what annotations draw."""
    bars: list[Bounds] = field(default_factory=list)
    """Short thin shapes."""
    specks: list[Bounds] = field(default_factory=list)
    """Very small rectangles: letters can be put together from them."""
    cut_short: bool = False
    """True where there was too much to look through."""
    depth: int = 0
    """How many forms this lies in."""
    is_mirrored: bool = False
    """Whether the forms around turn left and right about."""

    @property
    def to_read(self) -> list[Bounds]:
        """Where drawn shapes could be read as digits."""
        letters = self.letters + heaps(self.specks)
        return self.drawings + (letters if len(letters) >= _ENOUGH_GLYPHS else [])

    @property
    def may_show_bars(self) -> bool:
        """Whether thin shapes stand side by side as in a bar code."""
        rows = _rows(self.bars)
        longest = max(rows, default=0)
        several = sum(1 for row in rows if row >= _SHORT_ROW)
        return longest >= _LONG_ROW or several >= _SHORT_ROWS or bool(self.drawings)


def ink_of(page: Page) -> PageInk:
    """What the page draws, in forms and annotations too."""
    ink = PageInk()
    left = [_MOST_OBJECTS]
    _count_all(page.raw, objects_on(page.raw), object_on, ink, left)
    _count_annotations(page, ink, left)
    ink.cut_short |= left[0] <= 0
    return ink


def _count_all(holder: Any, count: int, get: Any, ink: PageInk, left: list[int]) -> None:
    """The objects of a page, form or annotation; `get` hands out one of them."""
    texts = ink.texts
    for index in range(count):
        item = get(holder, index)
        left[0] -= 1
        if left[0] <= 0:
            return
        kind = kind_of(item)
        if kind == _TEXT:
            texts.append(item)
        else:
            _count_drawn(item, kind, ink, left)


def _count_drawn(item: int, kind: int, ink: PageInk, left: list[int]) -> None:
    if is_clipped_by_a_drawing(item):
        ink.drawings.append(bounds_of(item))
    if kind == _PATH:
        _count_path(item, ink)
    elif kind == pdfium_c.FPDF_PAGEOBJ_IMAGE:
        ink.pictures.append(as_object(item))
        if mirrors(item) != ink.is_mirrored:  # its own pixels are not what the page shows
            ink.drawings.append(bounds_of(item))
    elif kind == pdfium_c.FPDF_PAGEOBJ_SHADING:
        ink.drawings.append(bounds_of(item))
    elif kind == pdfium_c.FPDF_PAGEOBJ_FORM:
        ink.forms.append(as_object(item))
        _count_form(item, ink, left)


def _count_form(form: int, ink: PageInk, left: list[int]) -> None:
    inside = PageInk(depth=ink.depth + 1, is_mirrored=mirrors(form) != ink.is_mirrored)
    if inside.depth > _DEEPEST:
        ink.cut_short = True
        return
    _count_all(form, objects_in_form(form), object_in_form, inside, left)
    ink.texts += inside.texts
    ink.pictures += inside.pictures
    ink.outlines += inside.outlines
    ink.cut_short |= inside.cut_short
    # What lies inside has its box in the form's frame, so the form's own box stands for it.
    if inside.to_read or inside.may_show_bars:
        ink.drawings.append(bounds_of(form))
    elif inside.letters or inside.specks:
        ink.letters.append(bounds_of(form))


def _count_path(item: int, ink: PageInk) -> None:
    segments = segments_of(item)
    box = bounds_of(item)
    width, height = box[2] - box[0], box[3] - box[1]
    if segments >= _MANY_SEGMENTS:
        ink.outlines.append(as_object(item))
        ink.drawings.append(box)
    elif segments >= _GLYPH_SEGMENTS and max(width, height) <= _GLYPH_SIDE:
        ink.outlines.append(as_object(item))
        ink.letters.append(box)
    elif min(width, height) <= _BAR_WIDTH and max(width, height) <= _BAR_LENGTH:
        ink.bars.append(box)
        if min(width, height) <= SPECK_HEIGHT and max(width, height) <= SPECK_LENGTH:
            ink.specks.append(box)


def _rows(bars: list[Bounds]) -> list[int]:
    """Lengths of the rows in which thin shapes follow one another closely, both ways."""
    rows: list[int] = []
    for across, along in ((0, 1), (1, 0)):
        ordered = sorted(bars, key=lambda bar: (round(bar[along]), bar[across]))
        length = 0
        for before, bar in itertools.pairwise(ordered):
            same_row = round(before[along]) == round(bar[along])
            gap = bar[across] - before[across + 2]
            thin = bar[across + 2] - bar[across] <= _BAR_WIDTH
            if same_row and thin and -0.5 <= gap <= _BAR_GAP:
                length += 1
            else:
                rows.append(length)
                length = 0
        rows.append(length)
    return rows


def _count_annotations(page: Page, ink: PageInk, left: list[int]) -> None:
    """What annotations draw; their text is the business of the other readers."""
    for index in range(min(pdfium_c.FPDFPage_GetAnnotCount(page.raw), _MOST_ANNOTATIONS)):
        annotation = pdfium_c.FPDFPage_GetAnnot(page.raw, index)
        if not annotation:
            continue
        own = PageInk()
        _count_all(annotation, objects_of_annotation(annotation), object_of_annotation, own, left)
        if own.pictures or own.to_read or own.may_show_bars:
            rect = pdfium_c.FS_RECTF()
            pdfium_c.FPDFAnnot_GetRect(annotation, ctypes.byref(rect))
            ink.drawings.append((rect.left, rect.bottom, rect.right, rect.top))
        pdfium_c.FPDFPage_CloseAnnot(annotation)

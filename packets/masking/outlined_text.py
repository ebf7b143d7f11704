"""Read text whose font calls its glyphs by false names, from what the page shows."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import pymupdf
from PIL import Image

from packets.masking.drawn_frames import TURNS, turned_back
from packets.masking.drawn_records import DrawnSymbol, PageBox
from packets.masking.drawn_symbols import ReadInk
from packets.masking.outlined_fonts import GlyphNames, page_as_it_lies
from packets.masking.quarter_turns import turned
from packets.reading.ocr import OcrReader
from packets.reading.records import OcrWord
from packets.reading.unexplained_ink import InkRow
from packets.reading.unexplained_rows import Part, around, rows_of

_SCALE = 300 / 72
_LARGEST_SIDE = 6000
_MARGIN = 4.0
_FEW_ROWS = 8


@dataclass(frozen=True, slots=True, repr=False)
class MisnamedText:
    """What glyphs with false names show, and where they stand."""

    read: tuple[ReadInk, ...] = ()
    rows: tuple[InkRow, ...] = ()


@dataclass(frozen=True, slots=True, repr=False)
class _Placed:
    number: int
    """In the order of drawing."""
    box: PageBox
    false: bool


def read_misnamed(page: pymupdf.Page, ocr: OcrReader, names: GlyphNames) -> MisnamedText:
    """Read the page's lines of glyphs that bear false names; nothing where there are none."""
    spans, misnamed = names.misnamed_spans(page)
    if not misnamed:
        return MisnamedText()
    placed = tuple(_placed(spans, misnamed))
    directions = {_turns(spans[k]) for k in misnamed}
    false = [Part(glyph.box, float(glyph.number)) for glyph in placed if glyph.false]
    rows = []
    for across in (False, True):
        if any(turns % 2 == int(across) for turns in directions):
            for row in rows_of(false, across=across):
                boxes = tuple(part.box for part in row)
                rows.append(InkRow(around(boxes), boxes, across=across))
    scale = min(_SCALE, _LARGEST_SIDE / max(page.rect.width, page.rect.height, 1.0))
    picture = page_as_it_lies(page, scale)
    read = []
    for turns in sorted(directions):
        lines = [row.box for row in rows if row.across == bool(turns % 2)]
        for box in lines if len(lines) <= _FEW_ROWS else [around(lines)]:
            read.append(_read(picture, box, scale, turns, placed, ocr))
    return MisnamedText(tuple(read), tuple(rows))


def _placed(spans: Sequence[dict[str, Any]], misnamed: frozenset[int]) -> Iterator[_Placed]:
    number = 0
    for k, span in enumerate(spans):
        for char in span["chars"]:
            if char[0] not in (0x20, 0xA0):
                yield _Placed(number, tuple(char[3]), k in misnamed)
            number += 1


def _turns(span: dict[str, Any]) -> int:
    """The counter-clockwise quarter turns that set a span upright."""
    cosine, sine = span["dir"]
    if abs(cosine) >= abs(sine):
        return 0 if cosine >= 0 else 2
    return 1 if sine > 0 else 3


def _read(
    picture: Image.Image,
    box: PageBox,
    scale: float,
    turns: int,
    placed: Sequence[_Placed],
    ocr: OcrReader,
) -> ReadInk:
    left, top = max(0, int((box[0] - _MARGIN) * scale)), max(0, int((box[1] - _MARGIN) * scale))
    right = min(picture.width, int((box[2] + _MARGIN) * scale))
    bottom = min(picture.height, int((box[3] + _MARGIN) * scale))
    if right - left < 8 or bottom - top < 8:
        return ReadInk(turns % TURNS, (), ())
    crop = picture.crop((left, top, right, bottom))
    text = ocr.read(turned(crop, turns), turn=False)
    words, symbols = [], []
    for word in text.words:
        kept = []
        for char, *pixels in word.symbols:
            x0, y0, x1, y1 = turned_back(pixels, turns, crop.size)
            where = (
                (left + x0) / scale, (top + y0) / scale, (left + x1) / scale, (top + y1) / scale
            )  # fmt: skip
            under = _under(where, placed)
            if under is not None:
                kept.append((char, *where))
                symbols.append(under if under.glyphs else DrawnSymbol(where, (0.0,), 0.0))
        if kept:
            words.append(OcrWord(tuple(kept), word.confidence))
    return ReadInk(turns, tuple(words), tuple(_with_sureness(symbols, words)))


def _under(where: PageBox, placed: Sequence[_Placed]) -> DrawnSymbol | None:
    """The glyphs with false names under a character; None where true names explain it."""
    across, down = (where[0] + where[2]) / 2, (where[1] + where[3]) / 2
    hit = [
        glyph
        for glyph in placed
        if glyph.box[0] <= across <= glyph.box[2] and glyph.box[1] <= down <= glyph.box[3]
    ]
    false = [glyph for glyph in hit if glyph.false]
    if not false:
        return None
    return DrawnSymbol(false[0].box, (0.0,), 0.0, tuple(glyph.number for glyph in false))


def _with_sureness(
    symbols: Sequence[DrawnSymbol], words: Sequence[OcrWord]
) -> Iterator[DrawnSymbol]:
    sure = [word.confidence for word in words for _ in word.symbols]
    for symbol, confidence in zip(symbols, sure, strict=True):
        yield DrawnSymbol(symbol.box, symbol.colour, confidence, symbol.glyphs)

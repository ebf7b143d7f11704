"""Read the ink of one page that no font tells: drawn letters and digits, drawn bar codes.

Only rows of shapes that may be type are drawn by themselves and read.
"""

from collections.abc import Iterator, Sequence

import pymupdf

from packets.identifiers.kinds import ALL_KINDS, MaskPolicy
from packets.identifiers.layout import GlyphRun, find_on_page
from packets.identifiers.records import Sureness
from packets.masking.drawn_codes import read_codes, undecoded_codes, without, without_read
from packets.masking.drawn_frames import WAYS, framed
from packets.masking.drawn_reading import read_rows
from packets.masking.drawn_records import DrawnReading, DrawnSurvey, DrawnSymbol
from packets.masking.drawn_symbols import ReadInk
from packets.masking.outlined_fonts import GlyphNames
from packets.masking.outlined_text import read_misnamed
from packets.masking.user_space import unrotated
from packets.reading.glyphs import PageGlyphs, page_glyphs
from packets.reading.ocr import OcrReader
from packets.reading.records import OcrWord
from packets.reading.unexplained_ink import InkRow, UnexplainedInk

_SURE = 50.0
_LEAST_PARTS, _MOST_PARTS = 5, 24
_TALLEST, _LOW, _NEARLY_ALL = 36.0, 0.7, 0.8
_EVERY_KIND = MaskPolicy(kinds=ALL_KINDS)
_STAND_INS = ("987654321", "987654")
"""Digits put in the place of a row that cannot be read, to ask whether a label speaks of it."""


def read_drawn_page(
    page: pymupdf.Page, ink: UnexplainedInk, ocr: OcrReader, names: GlyphNames
) -> DrawnSurvey | None:
    """What the unexplained ink of one page shows, or None; `names` remembers its fonts."""
    where = f"page {page.number + 1}"
    misnamed = read_misnamed(page, ocr, names)
    codes = read_codes(ink)
    ink = without(ink, [code.box for code in codes])
    read = (*read_rows(ink, page.rotation, ocr), *misnamed.read)
    rows = [row for row in (*ink.rows, *misnamed.rows) if _may_be_unread(row, read)]
    if not (read or rows or codes or ink.codes or ink.too_much):
        return None
    unread = [f"{where}: more drawn shapes than can be looked through"] if ink.too_much else []
    glyphs = page_glyphs(page)
    told = [symbol.box for one in read for symbol in one.symbols if symbol.sure >= _SURE]
    ink = without_read(ink, told)
    codes = (*codes, *undecoded_codes(ink, glyphs))
    readings = tuple(_readings(read, glyphs))
    if any(_is_labelled(row, glyphs) for row in rows):
        unread.append(f"{where}: drawn figures beside a label that cannot be read")
    if not (any(reading.words for reading in readings) or codes or unread):
        return None
    to_page = unrotated(page)
    return DrawnSurvey(
        page.number, readings, codes, glyphs, ~to_page, page.rotation_matrix, tuple(unread)
    )


def _readings(read: Sequence[ReadInk], glyphs: PageGlyphs) -> Iterator[DrawnReading]:
    """What was read, one reading for each direction, in the frame of that direction."""
    for turns in sorted({one.turns for one in read}):
        words: list[OcrWord] = []
        symbols: list[DrawnSymbol] = []
        hidden: set[int] = set()
        for one in read:
            if one.turns == turns:
                words.extend(_in_frame(word, turns) for word in one.words)
                symbols.extend(one.symbols)
                hidden.update(k for symbol in one.symbols for k in symbol.glyphs)
        yield DrawnReading(turns, tuple(words), tuple(symbols), _beside(glyphs, turns, hidden))


def _in_frame(word: OcrWord, turns: int) -> OcrWord:
    return OcrWord(
        tuple((char, *framed(box, turns)) for char, *box in word.symbols), word.confidence
    )


def _beside(glyphs: PageGlyphs, turns: int, hidden: set[int]) -> tuple[GlyphRun, ...]:
    """The text that runs in one direction, without glyphs that bear false names."""
    cosine, sine = WAYS[turns]
    runs: list[GlyphRun] = []
    for sheet in glyphs.sheets:
        first = glyphs[sheet[0].first] if sheet else None
        if (
            first is not None
            and abs(first.direction[0] - cosine) + abs(first.direction[1] - sine) < 0.1
        ):
            runs.extend(_without(run, hidden) for run in sheet)
    return tuple(runs)


def _without(run: GlyphRun, hidden: set[int]) -> GlyphRun:
    if not hidden:
        return run
    text = "".join("\u00ad" if run.first + k in hidden else c for k, c in enumerate(run.text))
    return GlyphRun(text, run.x0, run.x1, run.top, run.bottom, run.first)


def _may_be_unread(row: InkRow, read: Sequence[ReadInk]) -> bool:
    """Whether a row may be figures and was not surely read."""
    symbols = [symbol for one in read for symbol in one.symbols]
    sized = _LEAST_PARTS <= len(row.parts) <= _MOST_PARTS
    return sized and not row.strokes and _is_even(row) and not _is_read(row, symbols)


def _is_even(row: InkRow) -> bool:
    """Whether nearly all of a row is about as tall, and no taller than type in a form is."""
    side = 0 if row.across else 1
    heights = sorted(part[side + 2] - part[side] for part in row.parts)
    usual = heights[len(heights) // 2]
    alike = sum(1 for height in heights if _LOW * usual <= height <= usual / _LOW)
    return usual <= _TALLEST and alike >= _NEARLY_ALL * len(heights)


def _is_read(row: InkRow, symbols: Sequence[DrawnSymbol]) -> bool:
    sure = {symbol.box for symbol in symbols if symbol.sure >= _SURE}
    return 3 * sum(1 for part in row.parts if part in sure) >= 2 * len(row.parts)


def _is_labelled(row: InkRow, glyphs: PageGlyphs) -> bool:
    """Whether figures in the place of this row would be what a label names."""
    turns = int(row.across)
    return any(
        _label_speaks_of(row, _beside(glyphs, way, set()), way) for way in (turns, turns + 2)
    )


def _label_speaks_of(row: InkRow, beside: Sequence[GlyphRun], turns: int) -> bool:
    x0, top, x1, bottom = framed(row.box, turns)
    first = max((run.first + len(run.text) for run in beside), default=0)
    for digits in _STAND_INS:
        step = (x1 - x0) / len(digits)
        starts = [x0 + k * step for k in range(len(digits))]
        ends = [start + 0.9 * step for start in starts]
        stand_in = GlyphRun(digits, starts, ends, top, bottom, first)
        for match in find_on_page((*beside, stand_in), (), _EVERY_KIND):
            ours = any(number >= first for digit in match.digits for number in digit)
            if ours and match.sureness >= Sureness.LABELLED:
                return True
    return False

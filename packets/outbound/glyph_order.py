"""The order in which glyphs stand on a page, whoever drew them and when."""

import ctypes
import math
import re
from typing import Any

import pypdfium2.raw as pdfium_c

from packets.identifiers.layout import GlyphRun
from packets.outbound.pdfium_document import Page

_LONE_DIGITS = re.compile(r"\d(?<!\d\d)(?!\d)[^0-9A-Za-z]{0,6}(?:\d(?!\d)[^0-9A-Za-z]{0,6}){4}")
"""Begins with the digit itself, which the engine seeks much faster than a place before one."""
_LINE = 2.0
"""Digits whose middles lie within this many points of one another stand on one line."""


def is_scattered(text: str) -> bool:
    """Whether five digits or more follow one another one by one, as in the boxes of a form."""
    return _LONE_DIGITS.search(text) is not None


def digits_in_reading_order(text_page: Page) -> tuple[str, str]:
    """All digits of a page by lines, left to right; and by columns, top to bottom."""
    placed = _digits(text_page.raw)
    return _by_lines(placed), _by_lines([(-x, -y, digit) for y, x, digit in placed])


def _digits(raw: Any) -> list[tuple[float, float, str]]:
    """Height of the middle above the page's lower edge, left edge, digit."""
    left, right, bottom, top = (ctypes.c_double() for _ in range(4))
    pointers = [ctypes.byref(edge) for edge in (left, right, bottom, top)]
    unicode_of, box_of = pdfium_c.FPDFText_GetUnicode, pdfium_c.FPDFText_GetCharBox
    placed: list[tuple[float, float, str]] = []
    for index in range(pdfium_c.FPDFText_CountChars(raw)):
        code = unicode_of(raw, index)
        if 48 <= code <= 57 and box_of(raw, index, *pointers):
            placed.append(((bottom.value + top.value) / 2, left.value, chr(code)))
    return placed


def _by_lines(placed: list[tuple[float, float, str]]) -> str:
    lines: list[list[tuple[float, str]]] = []
    level = math.inf
    for middle, start, digit in sorted(placed, key=lambda glyph: -glyph[0]):
        if level - middle > _LINE:
            lines.append([])
            level = middle
        lines[-1].append((start, digit))
    return "\n".join("".join(digit for _, digit in sorted(line)) for line in lines)


def glyph_runs(page: Page, text_page: Page) -> tuple[GlyphRun, ...]:
    """Every glyph with its box, in runs as PDFium parts them, for the finder by layout.

    Text that runs upward, downward or upside down is turned into a frame of its own.
    """
    width, height = page.get_size()
    by_turn: dict[int, list[tuple[str, float, float, float, float]]] = {}
    for char, turn, box in _glyphs(text_page.raw):
        by_turn.setdefault(turn, []).append((char, *_turned(box, turn, width, height)))
    runs: list[GlyphRun] = []
    for turn in sorted(by_turn):
        frame = 10_000.0 * turn  # far apart, so that no line of one frame meets another's
        runs += _runs(by_turn[turn], frame, sum(len(run.text) for run in runs))
    return tuple(runs)


def _glyphs(raw: Any) -> list[tuple[str, int, tuple[float, float, float, float]]]:
    rect = pdfium_c.FS_RECTF()
    pointer = ctypes.byref(rect)
    glyphs: list[tuple[str, int, tuple[float, float, float, float]]] = []
    for index in range(pdfium_c.FPDFText_CountChars(raw)):
        code = pdfium_c.FPDFText_GetUnicode(raw, index)
        char = "-" if code in (2, 0xFFFE) else chr(code) if code < 0x110000 else "\ufffd"
        if char in "\r\n" or not pdfium_c.FPDFText_GetLooseCharBox(raw, index, pointer):
            glyphs.append(("\n", 0, (0.0, 0.0, 0.0, 0.0)))
            continue
        turn = round(pdfium_c.FPDFText_GetCharAngle(raw, index) / (math.pi / 2)) % 4
        glyphs.append((char, turn, (rect.left, rect.bottom, rect.right, rect.top)))
    return glyphs


def _turned(
    box: tuple[float, float, float, float], turn: int, width: float, height: float
) -> tuple[float, float, float, float]:
    """x0, x1, top, bottom in a frame where this text runs to the right and y grows downward."""
    left, bottom, right, top = box
    if turn == 1:
        return height - top, height - bottom, width - right, width - left
    if turn == 2:
        return width - right, width - left, bottom, top
    if turn == 3:
        return bottom, top, left, right
    return left, right, height - top, height - bottom


def _runs(
    glyphs: list[tuple[str, float, float, float, float]], frame: float, first: int
) -> list[GlyphRun]:
    runs: list[GlyphRun] = []
    waiting: list[tuple[str, float, float, float, float]] = []
    for glyph in [*glyphs, ("\n", 0.0, 0.0, 0.0, 0.0)]:
        if glyph[0] != "\n" and (not waiting or abs(glyph[4] - waiting[-1][4]) < _LINE):
            waiting.append(glyph)
            continue
        if waiting:
            runs.append(
                GlyphRun(
                    "".join(each[0] for each in waiting),
                    [each[1] for each in waiting],
                    [each[2] for each in waiting],
                    frame + min(each[3] for each in waiting),
                    frame + max(each[4] for each in waiting),
                    first,
                )
            )
            first += len(waiting)
        waiting = [glyph] if glyph[0] != "\n" else []
    return runs

"""The letters of a page with their places, read along each direction in which it is printed."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import pymupdf

from packets.reading.ocr import OcrReader
from packets.reading.pictures import page_picture
from packets.recipe.check_lines import STACK, label_letters
from packets.signatures.upright import Upright, turn_of, upright_of

ENOUGH = 20
"""With fewer readable letters than this a page counts as one without text."""
SURE_PAGE, SURE_WORD = 65.0, 60.0
"""Confidence of OCR, 0 to 100, under which a page or a word is not gone by."""
SAME_ROW = 0.35
"""Feet of letters on one row differ by no more than this share of their size."""


@dataclass(frozen=True)
class Letter:
    """One printed mark on the upright page: points, origin upper left."""

    text: str
    x0: float
    x1: float
    top: float
    foot: float
    """The base line; from OCR the lower edge of the word without what hangs below it."""
    size: float


@dataclass(frozen=True)
class Reading:
    """All letters that run in one direction, in rows from top to bottom."""

    upright: Upright
    rows: tuple[tuple[Letter, ...], ...]
    by_ocr: bool = False

    @cached_property
    def texts(self) -> tuple["RowText", ...]:
        """Each row as compared with labels."""
        return tuple(map(_as_text, self.rows))


class RowText(NamedTuple):
    """Letters and digits of a row as compared, each with the index of its mark."""

    text: str
    marks: list[int]


def _as_text(row: Sequence[Letter]) -> RowText:
    parts = [label_letters(letter.text) for letter in row]
    return RowText("".join(parts), [at for at, part in enumerate(parts) for _ in part])


def read_letters(page: pymupdf.Page, ocr: OcrReader | None) -> tuple[Reading, ...]:
    """The letters of a page, one reading for each direction; by OCR where it has no text.

    A page that OCR is not sure of gives nothing.
    """
    letters = list(_drawn(page))
    if sum(letter.text.isalnum() for _, letter in letters) < ENOUGH:
        return () if ocr is None else tuple(_seen(page, ocr))
    turns = sorted({turn for turn, _ in letters})
    return tuple(
        Reading(upright_of(page, turn), _rows([letter for at, letter in letters if at == turn]))
        for turn in turns
    )


LabelWords = tuple[str, ...]
"""The words of a label as they are compared with a page, the longest first."""


def words_of(label: str) -> LabelWords:
    """The words of a label, those that few pages have before the others."""
    words = map(label_letters, label.replace(STACK, " ").split())
    return tuple(sorted(words, key=len, reverse=True))


def printed_letters(page: pymupdf.Page) -> str:
    """The letters and digits of a page as they are compared, at the cost of its bare text."""
    return label_letters(page.get_text("text"))


def may_show(printed: str, labels: Iterable[LabelWords]) -> bool:
    """Whether a page with these letters has every word of one of the labels.

    A page without text of its own may show anything.
    """
    if len(printed) < ENOUGH:
        return True
    return any(all(word in printed for word in label) for label in labels)


def _drawn(page: pymupdf.Page) -> Iterator[tuple[int, Letter]]:
    turned = page.rotation_matrix
    frames = {turn: upright_of(page, turn) for turn in (0, 90, 180, 270)}
    flags = pymupdf.TEXT_PRESERVE_WHITESPACE
    for block in page.get_text("rawdict", flags=flags)["blocks"]:
        for line in block.get("lines", ()):
            across, down = line["dir"]
            a, b, c, d, e, f = turned.a, turned.b, turned.c, turned.d, turned.e, turned.f
            turn = turn_of(across * a + down * c, across * b + down * d)
            frame = frames[turn]
            for span in line["spans"]:
                for char in span["chars"]:
                    if char["c"].isspace():
                        continue
                    (left, top, right, low), (x, y) = char["bbox"], char["origin"]
                    one = (left * a + top * c + e, left * b + top * d + f)
                    other = (right * a + low * c + e, right * b + low * d + f)
                    x0, y0, x1, y1 = frame.box((*one, *other))
                    _, foot = frame.point((x * a + y * c + e, x * b + y * d + f))
                    yield turn, Letter(char["c"], x0, x1, y0, foot, max(y1 - y0, 0.1))


def _seen(page: pymupdf.Page, ocr: OcrReader) -> Iterator[Reading]:
    picture = page_picture(page)
    if picture is None:
        return
    text = ocr.read(picture)
    if text.confidence < SURE_PAGE:
        return
    upright = upright_of(page, text.quarter_turns * 90)
    across, down = upright.width / text.width, upright.height / text.height
    letters = []
    for word in text.words:
        if word.confidence < SURE_WORD:
            continue
        feet = sorted(symbol[4] for symbol in word.symbols)
        foot = feet[len(feet) // 2 - (len(feet) % 2 == 0)] * down
        top = min(symbol[2] for symbol in word.symbols) * down
        # The height of a word's ink is some three quarters of its type size.
        size = max((foot - top) * 1.35, 0.1)
        letters += [
            Letter(mark, x0 * across, x1 * across, top, foot, size)
            for mark, x0, _, x1, _ in word.symbols
        ]
    yield Reading(upright, _rows(letters), by_ocr=True)


def _rows(letters: list[Letter]) -> tuple[tuple[Letter, ...], ...]:
    rows: list[list[Letter]] = []
    for letter in sorted(letters, key=lambda letter: (letter.foot, letter.x0)):
        last = rows[-1][-1] if rows else None
        near = SAME_ROW * min(letter.size, last.size) if last else 0.0
        if last is not None and letter.foot - last.foot <= near:
            rows[-1].append(letter)
        else:
            rows.append([letter])
    return tuple(tuple(sorted(row, key=lambda letter: letter.x0)) for row in rows)

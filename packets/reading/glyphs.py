"""Glyphs of a page with their boxes, sorted by the direction in which they run.

MuPDF traces each character once per place where it is drawn: also white,
invisible, clipped, covered ones and those without any extent; what marked
content claims that they say (/ActualText) plays no part. Text that runs in
another direction is turned into a frame where it runs to the right, so that
the finder sees lines.
"""

import math
import re
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import pymupdf

from packets.base.geometry import Box
from packets.identifiers.layout import GlyphRun
from packets.reading.drawn_strings import AS_DRAWN

STRUCTURED = AS_DRAWN | pymupdf.TEXT_CID_FOR_UNKNOWN_UNICODE
"""How text is asked for: as it is drawn, by the font's own code where it has no name."""
_UNKNOWN = 0xFFFD
_CLIPS = re.compile(rb"(?<![0-9.])\+?0*7(?:\.0*)?\s*(?:%[^\r\n]*\s*)*Tr(?![A-Za-z])")
_ASCENT = 0.79
"""Share of the type size that is drawn above the baseline, where MuPDF's box cannot be used."""

Traced = dict[str, Any]
"""One span of MuPDF's trace: glyphs of one font and matrix, not always on one line."""
Frame = tuple[float, float]
"""Cosine and sine of the way in which glyphs follow one another."""


@dataclass(frozen=True, slots=True, repr=False)
class Glyph:
    """One character as drawn."""

    char: str
    box: tuple[float, float, float, float]
    """On the unrotated page, points, origin upper left of the page's box."""
    origin: tuple[float, float]
    """Its point on the baseline, same frame."""
    direction: Frame
    """Cosine and sine of the way it runs."""
    size: float
    colour: tuple[float, ...]
    """1, 3 or 4 components from 0 to 1: grey, red-green-blue, or the four process colours."""
    mean_height: float = 0.39
    """Height above the baseline, in type sizes, of the middle between ascender and descender."""

    @property
    def middle(self) -> tuple[float, float]:
        """The middle of its cell, between the font's ascender and descender."""
        cosine, sine = self.direction
        ahead, up = self.advance / 2, self.mean_height * self.size
        x, y = self.origin
        return x + ahead * cosine + up * sine, y + ahead * sine - up * cosine

    @property
    def advance(self) -> float:
        """How far it reaches along its line, in points."""
        return _advance(self.box, self.direction, self.size)


class PageGlyphs:
    """All glyphs of a page, and the runs that a finder reads, one sheet per direction."""

    def __init__(self, spans: Sequence[Traced], names: dict[tuple[float, float], str]) -> None:
        self._spans = spans
        self._names = names
        self._firsts: list[int] = []
        sheets: dict[int, list[GlyphRun]] = {}
        texts: list[str] = []
        first = 0
        for span in spans:
            frame = _frame(span)
            runs = sheets.setdefault(_angle(frame), [])
            text = self._text(span["chars"])
            runs.extend(_runs(span, text, frame, first))
            texts.append(text)
            self._firsts.append(first)
            first += len(text)
        self.drawn = "".join(texts)
        """Every character in the order of drawing."""
        self.sheets = tuple(tuple(runs) for runs in sheets.values())

    def __getitem__(self, number: int) -> Glyph:
        """The glyph of that number, in the order of drawing."""
        at = bisect_right(self._firsts, number) - 1
        span = self._spans[at]
        _, _, origin, box = span["chars"][number - self._firsts[at]]
        look = span["dir"], span["size"], span["color"]
        mean_height = (span["ascender"] + span["descender"]) / 2
        return Glyph(self.drawn[number], box, origin, *look, mean_height)

    def _text(self, chars: Sequence[Any]) -> str:
        """One character per glyph; those that MuPDF has no name for get the font's own code."""
        if not self._names:
            return _plain_text(chars)
        return "".join(
            self._names.get(_spot(char[2]), "\ufffd") if char[0] in (_UNKNOWN, -1) else chr(char[0])
            for char in chars
        )


def _plain_text(chars: Sequence[Any]) -> str:
    try:
        return "".join([chr(char[0]) for char in chars])
    except ValueError:  # -1 where a glyph has no character at all
        return "".join(chr(char[0]) if char[0] >= 0 else "\ufffd" for char in chars)


def page_glyphs(page: pymupdf.Page, *, clipping: bool = False) -> PageGlyphs:
    """Every glyph that the page draws, inside its boxes or not.

    `clipping` is what `clips_with_text` says of the document.
    """
    spans = page.get_texttrace()
    unknown = any("\ufffd" in _plain_text(span["chars"]) for span in spans)
    if not unknown and not clipping:
        return PageGlyphs(spans, {})
    lines = [line for block in _raw(page) for line in block.get("lines", ())]
    names = {
        _spot(item["origin"]): item["c"]
        for line in lines
        for span in line["spans"]
        for item in span["chars"]
        if len(item["c"]) == 1
    }
    traced = {_spot(char[2]) for span in spans for char in span["chars"]}
    missing = [span for line in lines for span in _not_traced(line, traced)] if clipping else []
    return PageGlyphs([*spans, *missing], names)


def clips_with_text(document: pymupdf.Document) -> bool:
    """Whether some content may use text as a clipping path only (9.3.6), which is not traced."""
    drawings = (
        document.xref_stream(xref)
        for xref in range(1, document.xref_length())
        if document.xref_is_stream(xref)
        and (
            document.xref_get_key(xref, "Subtype")[1] == "/Form"
            or document.xref_get_key(xref, "PatternType")[1] == "1"
        )
    )
    pages = (document[number].read_contents() for number in range(document.page_count))
    contents = (content for content in (*pages, *drawings) if content and b"Tr" in content)
    return any(map(_CLIPS.search, contents))


def _raw(page: pymupdf.Page) -> list[dict[str, Any]]:
    raw = page.get_text("rawdict", flags=STRUCTURED, clip=pymupdf.INFINITE_RECT())
    return list(raw["blocks"])


def _not_traced(line: dict[str, Any], traced: set[tuple[float, float]]) -> Iterator[Traced]:
    for span in line["spans"]:
        chars = tuple(
            (ord(item["c"]), 0, item["origin"], item["bbox"])
            for item in span["chars"]
            if len(item["c"]) == 1 and _spot(item["origin"]) not in traced
        )
        if chars:
            yield {
                "dir": line["dir"], "wmode": line["wmode"], "size": span["size"],
                "color": (0.0,), "chars": chars, "ascender": 1.0, "descender": -0.2,
            }  # fmt: skip


def _spot(origin: Sequence[float]) -> tuple[float, float]:
    return round(origin[0], 1), round(origin[1], 1)


def _frame(span: Traced) -> Frame:
    cosine, sine = span["dir"]
    if cosine == sine == 0:
        return 1.0, 0.0
    return (-sine, cosine) if span["wmode"] else (cosine, sine)


def _angle(frame: Frame) -> int:
    return round(math.degrees(math.atan2(frame[1], frame[0]))) % 360


def _runs(span: Traced, text: str, frame: Frame, first: int) -> Iterator[GlyphRun]:
    """The glyphs of a span, one run for each baseline."""
    chars = span["chars"]
    if frame == (1.0, 0.0) and not span["wmode"]:
        baselines = [char[2][1] for char in chars]
        x0, x1 = [char[3][0] for char in chars], [char[3][2] for char in chars]
        above, below = (chars[0][2][1] - chars[0][3][1], chars[0][3][3] - chars[0][2][1])
    else:
        cosine, sine = frame
        baselines = [char[2][1] * cosine - char[2][0] * sine for char in chars]
        x0 = [char[2][0] * cosine + char[2][1] * sine for char in chars]
        widths = [_advance(char[3], frame, span["size"]) for char in chars]
        x1 = [left + width for left, width in zip(x0, widths, strict=True)]
        above, below = span["size"] * _ASCENT, span["size"] * (1 - _ASCENT)
    if len(set(x0)) < len(x0):
        _part_glyphs_at_one_place(text, x0, x1, baselines)
    for start, end in _stretches(baselines, _SAME_BASELINE * span["size"]):
        top, bottom = baselines[start] - above, baselines[start] + below
        if end - start == len(text):
            yield GlyphRun(text, x0, x1, top, bottom, first)
        else:
            part = slice(start, end)
            yield GlyphRun(text[part], x0[part], x1[part], top, bottom, first + start)


def _stretches(baselines: Sequence[float], near: float) -> Iterator[tuple[int, int]]:
    """Neighbours on one baseline: first and one past the last."""
    if max(baselines) - min(baselines) <= near:
        yield 0, len(baselines)
        return
    start = 0
    for at, level in enumerate(baselines):
        if abs(level - baselines[start]) > near:
            yield start, at
            start = at
    yield start, len(baselines)


def _advance(box: Sequence[float], frame: Frame, height: float) -> float:
    """How far a turned glyph reaches along its line, from the upright box around it."""
    cosine, sine = abs(frame[0]), abs(frame[1])
    if cosine >= sine:
        return max((box[2] - box[0] - height * sine) / cosine, 0.0)
    return max((box[3] - box[1] - height * cosine) / sine, 0.0)


_SAME_BASELINE = 0.02
"""Glyphs whose baselines differ by less, in type sizes, stand on one."""
_NO_EXTENT = 0.5
"""Width in points that a glyph without extent is given, so that it has a place in its line."""


def _part_glyphs_at_one_place(
    text: str, x0: list[float], x1: list[float], baselines: Sequence[float]
) -> None:
    """Let neighbours that stand at one point share its width, in their order.

    One code can stand for several characters, and a font may have no widths. The
    same character twice at one point is an overprint and stays as it is.
    """
    start = 0
    while start < len(text):
        end = start + 1
        place = x0[start], baselines[start]
        while end < len(text) and (x0[end], baselines[end]) == place:
            end += 1
        widest = max(x1[start:end]) - x0[start]
        if end - start > 1 and (widest <= 0 or len(set(text[start:end])) > 1):
            share = (widest if widest > 0 else _NO_EXTENT * (end - start)) / (end - start)
            for k in range(start, end):
                x0[k] = place[0] + share * (k - start)
                x1[k] = x0[k] + share
        start = end


def shown_box(page: pymupdf.Page, boxes: Sequence[Sequence[float]]) -> Box:
    """The box around several boxes of the unrotated page, on the page as shown."""
    joined = pymupdf.Rect(
        min(box[0] for box in boxes),
        min(box[1] for box in boxes),
        max(box[2] for box in boxes),
        max(box[3] for box in boxes),
    )
    turned = joined * page.rotation_matrix
    return Box(turned.x0, turned.y0, turned.x1, turned.y1)

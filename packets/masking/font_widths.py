"""How far each character code of a font moves the pen (ISO 32000-2, 9.2.4, 9.6, 9.7).

Only what is needed to know where each code stands. A font whose codes or
widths cannot be told raises `UnknownFont`; its text is then masked another way.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

import pikepdf
from pikepdf import Name
from reportlab.pdfbase import pdfmetrics

_STANDARD = {
    "Helvetica", "Helvetica-Bold", "Helvetica-Oblique", "Helvetica-BoldOblique",
    "Times-Roman", "Times-Bold", "Times-Italic", "Times-BoldItalic",
    "Courier", "Courier-Bold", "Courier-Oblique", "Courier-BoldOblique",
    "Symbol", "ZapfDingbats",
}  # fmt: skip
_ALIASES = {"Arial": "Helvetica", "TimesNewRoman": "Times-Roman", "CourierNew": "Courier"}


class UnknownFont(Exception):
    """The codes or widths of a font cannot be told from its dictionary."""


@dataclass(frozen=True)
class FontWidths:
    """Code length and widths of one font."""

    bytes_per_code: int
    widths: dict[int, float]
    """Code -> width in thousandths of text space (for Type 3: already through its matrix)."""
    default: float
    name: str

    @cached_property
    def never_back(self) -> bool:
        """Whether no code moves the pen backwards."""
        return self.default >= 0 and min(self.widths.values(), default=0.0) >= 0

    def total(self, text: bytes) -> tuple[float, int, int]:
        """Sum of the widths in thousandths, number of codes, and how many are a space."""
        if self.bytes_per_code == 1:
            return sum(map(self._by_byte.__getitem__, text)), len(text), text.count(b" ")
        widths = [width for _, width in self.codes(text)]
        return sum(widths), len(widths), 0

    @cached_property
    def _by_byte(self) -> list[float]:
        return [self.widths.get(code, self.default) for code in range(256)]

    def codes(self, text: bytes) -> Iterator[tuple[bytes, float]]:
        """Each code of a string with its width in thousandths."""
        step = self.bytes_per_code
        for at in range(0, len(text), step):
            code = text[at : at + step]
            yield code, self.widths.get(int.from_bytes(code, "big"), self.default)


def read_widths(font: pikepdf.Object) -> FontWidths:
    """Widths of a font dictionary; raises `UnknownFont`."""
    try:
        subtype = str(font.get("/Subtype", ""))
        name = str(font.get("/BaseFont", "")).lstrip("/")
        if subtype == "/Type0":
            return _composite(font, name)
        if subtype == "/Type3":
            return _type3(font, name)
        return _simple(font, name)
    except (AttributeError, TypeError, ValueError, KeyError, IndexError) as error:
        raise UnknownFont from error


def _number(value: object) -> float:
    if isinstance(value, (int, float, Decimal)) and not isinstance(value, bool):
        return float(value)
    raise UnknownFont


def _simple(font: pikepdf.Object, name: str) -> FontWidths:
    descriptor = font.get("/FontDescriptor")
    missing = descriptor.get("/MissingWidth", 0) if descriptor is not None else 0
    if "/Widths" not in font:
        return FontWidths(1, _standard_widths(name), 0.0, name)
    first, last = int(_number(font.get("/FirstChar", 0))), int(_number(font.get("/LastChar", 0)))
    if first < 0 or last > 255 or first > last:
        first = last = 0  # as MuPDF does, whose places are the ones looked for
    listed = list(font.Widths)[: last - first + 1]
    widths = {first + k: _number(w) for k, w in enumerate(listed)}
    widths.update(dict.fromkeys(range(first + len(listed), last + 1), 0.0))
    return FontWidths(1, widths, _number(missing), name)


def _standard_widths(name: str) -> dict[int, float]:
    plain = name.rsplit("+", maxsplit=1)[-1].replace(" ", "")
    plain = _ALIASES.get(plain, plain)
    if plain not in _STANDARD:
        raise UnknownFont
    return {code: float(w) for code, w in enumerate(pdfmetrics.getFont(plain).widths)}


def _type3(font: pikepdf.Object, name: str) -> FontWidths:
    matrix = [_number(value) for value in list(font.FontMatrix)]
    first = int(_number(font.get("/FirstChar", 0)))
    scale = matrix[0] * 1000
    widths = {first + k: _number(w) * scale for k, w in enumerate(list(font.Widths))}
    return FontWidths(1, widths, 0.0, name)


def _composite(font: pikepdf.Object, name: str) -> FontWidths:
    if font.get("/Encoding") != Name("/Identity-H"):
        raise UnknownFont
    inner = font.DescendantFonts[0]
    return FontWidths(2, _cid_widths(inner.get("/W")), _number(inner.get("/DW", 1000)), name)


def _cid_widths(array: pikepdf.Object | None) -> dict[int, float]:
    """The /W array (ISO 32000-2, 9.7.4.3): `c [w1 w2 …]` or `first last w`."""
    widths: dict[int, float] = {}
    items = list(array) if array is not None else []
    at = 0
    while at + 1 < len(items):
        first = int(_number(items[at]))
        second = items[at + 1]
        if isinstance(second, pikepdf.Array):
            for k, width in enumerate(list(second)):
                widths[first + k] = _number(width)
            at += 2
        else:
            last, same = int(_number(second)), _number(items[at + 2])
            if last - first > 70_000:
                raise UnknownFont
            widths.update(dict.fromkeys(range(first, last + 1), same))
            at += 3
    return widths

"""TrueType font programs (ISO 32000-2, 9.9; OpenType 1.9): glyphs taken out or put elsewhere."""

import contextlib
import io
import re
from typing import Any

from fontTools import agl
from fontTools.ttLib import TTFont
from fontTools.ttLib.tables._g_l_y_f import Glyph
from pikepdf import Stream

from packets.masking.font_codes import told
from packets.masking.font_programs import Change, UnknownProgram

_NEEDED = frozenset({
    "glyf", "loca", "head", "hhea", "hmtx", "maxp", "cvt ", "fpgm", "prep", "cmap", "OS/2", "name",
    "post", "vhea", "vmtx", "gasp",
})  # fmt: skip
"""Tables that a PDF reader may use; others tell of glyphs by number, and nobody asks them."""
_SYMBOL_PAGES = (0xF000, 0xF100, 0xF200, 0)
_TAG = re.compile(r"^[A-Z]{6}\+")
_NO_NAMES = 3.0
"""The format of a `post` table without names."""


class TrueTypeProgram:
    """A program with a `glyf` table."""

    by_name = False
    fixed = frozenset({0})

    def __init__(self, data: bytes, stream: Stream, *, with_length: bool) -> None:
        self._stream, self._with_length = stream, with_length
        self._font: Any = TTFont(
            io.BytesIO(data), lazy=True, recalcBBoxes=False, recalcTimestamp=False
        )
        self._raw = self._font.reader["glyf"]
        self._places = self._font["loca"].locations
        self.count = min(self._font["maxp"].numGlyphs, len(self._places) - 1)
        self._order = self._font.getGlyphOrder()
        if len(self._order) < self.count:
            raise UnknownProgram
        self._number = {name: k for k, name in enumerate(self._order)}
        self._tables = [
            table
            for table in (self._font["cmap"].tables if "cmap" in self._font else [])
            if isinstance(getattr(table, "cmap", None), dict)
        ]
        self._texts = self._read_texts()
        self._by_post = False
        self._by_mac_name = False

    def _read_texts(self) -> dict[int, str]:
        texts: dict[int, str] = {}
        for table in self._tables:
            if table.isUnicode():
                for char, name in table.cmap.items():
                    texts.setdefault(self._number[name], chr(char))
        if "post" in self._font and self._font["post"].formatType in (1.0, 2.0):
            for glyph, name in enumerate(self._order):
                texts.setdefault(glyph, agl.toUnicode(name))
        return texts

    def glyphs_of_code(self, code: int, name: str | None) -> set[int]:
        """By the name's character and by the code itself (9.6.5.4); readers differ."""
        found = self._by_character(name) if name is not None else set()
        for table in self._tables:
            kind = (table.platformID, table.platEncID)
            if kind == (3, 0):
                found |= {table.cmap[page + code] for page in _SYMBOL_PAGES
                          if page + code in table.cmap}  # fmt: skip
            elif kind == (1, 0) and name is None and code in table.cmap:
                found.add(table.cmap[code])
        if not found:
            found = {table.cmap[code] for table in self._tables if code in table.cmap}
        if not found and name in self._number:
            self._by_post = True
            found = {name}
        if not found and not self._tables and code < self.count:
            return {code}
        return {self._number[glyph] for glyph in found if glyph is not None}

    def _by_character(self, name: str) -> set[str | None]:
        text = agl.toUnicode(name)
        if len(text) != 1:
            return set()
        found: set[str | None] = {
            table.cmap.get(ord(text)) for table in self._tables if table.isUnicode()
        }
        with contextlib.suppress(UnicodeEncodeError):
            code = text.encode("mac_roman")[0]
            roman = {
                table.cmap[code]
                for table in self._tables
                if (table.platformID, table.platEncID) == (1, 0) and code in table.cmap
            }
            self._by_mac_name |= bool(roman)
            found |= roman
        return found - {None}

    def glyph_of_cid(self, cid: int) -> int | None:
        return cid if cid < self.count else None

    def text(self, glyph: int) -> str:
        return told(self._texts.get(glyph, ""))

    def name(self, glyph: int) -> str | None:  # noqa: ARG002  # encodings do not go by its names
        return None

    def outline(self, glyph: int) -> bytes:
        return bytes(self._raw[self._places[glyph] : self._places[glyph + 1]])

    def parts(self, glyph: int) -> set[int]:
        if self.outline(glyph)[:2] < b"\x80":
            return set()
        table = self._font["glyf"]
        return {self._number[name] for name in table[self._order[glyph]].getComponentNames(table)}

    def rewritten(self, change: Change) -> None:
        font = self._font
        for tag in [tag for tag in font.keys() if tag != "GlyphOrder"]:  # noqa: SIM118  # no dict
            if tag not in _NEEDED:
                del font[tag]
            elif tag not in ("cvt ", "fpgm", "prep", "gasp"):
                font[tag]  # read while the old numbers hold
        gone = {self._order[glyph] for glyph in change.gone}
        self._change_codes(change, gone)
        kept = {self._order[glyph] for glyph in change.kept}
        self._empty(gone, kept)
        self._put_in_order(self._new_order(change), gone, kept)
        self._count_again()
        out = io.BytesIO()
        font.save(out, reorderTables=True)
        self._stream.write(out.getvalue())
        if self._with_length:
            self._stream["/Length1"] = len(out.getvalue())

    def _change_codes(self, change: Change, gone: set[str]) -> None:
        for table in self._tables:
            cmap = table.cmap
            kind = (table.platformID, table.platEncID)
            by_code = kind == (3, 0) or (kind == (1, 0) and not self._by_mac_name)
            if by_code and (change.codes or change.gone_codes):
                cmap = {
                    char & 0xFF00 | change.codes.get(char & 0xFF, char & 0xFF): name
                    for char, name in cmap.items()
                    if char & 0xFF not in change.gone_codes
                }
            table.cmap = {char: name for char, name in sorted(cmap.items()) if name not in gone}
        if "cmap" in self._font:
            self._font["cmap"].tables = self._tables

    def _empty(self, gone: set[str], kept: set[str]) -> None:
        font = self._font
        glyphs = font["glyf"]
        unused = [
            name for k, name in enumerate(self._order[: self.count])
            if k and self._places[k] == self._places[k + 1] and name not in kept
        ]  # fmt: skip
        for tag in ("hmtx", "vmtx"):
            if tag in font:
                metrics = font[tag].metrics
                if not any(metrics[name][0] for name in unused if name in metrics):
                    metrics.update((name, (0, 0)) for name in gone)
        for name in gone:
            glyphs[name] = Glyph()

    def _new_order(self, change: Change) -> list[str]:
        order = list(self._order[: self.count])
        free = sorted((set(change.places) | change.gone) - set(change.places.values()))
        for glyph, place in change.places.items():
            order[place] = self._order[glyph]
        if change.places:
            for glyph, place in zip(sorted(change.gone), free, strict=True):
                order[place] = self._order[glyph]
        return order

    def _put_in_order(self, order: list[str], gone: set[str], kept: set[str]) -> None:
        """Glyphs in their new order; emptied ones at the end leave no trace."""
        font, glyphs = self._font, self._font["glyf"]
        named = {name for table in self._tables for name in table.cmap.values()} | kept
        if order[-1] in gone:
            while len(order) > 1 and order[-1] not in named and _is_empty(glyphs[order[-1]]):
                name = order.pop()
                for tag in ("hmtx", "vmtx"):
                    if tag in font:
                        font[tag].metrics.pop(name, None)
                del glyphs.glyphs[name]
        if "post" in font:
            font["post"].formatType = 2.0 if self._by_post else _NO_NAMES
        if not self._by_post:
            font.setGlyphOrder(order)
            return
        fresh = {name: f"x{k}" if name in gone else name for k, name in enumerate(order)}
        glyphs.glyphs = {fresh[name]: glyph for name, glyph in glyphs.glyphs.items()}
        for tag in ("hmtx", "vmtx"):
            if tag in font:
                font[tag].metrics = {fresh[n]: m for n, m in font[tag].metrics.items()}
        font.setGlyphOrder([fresh[name] for name in order])

    def _count_again(self) -> None:
        """Extremes over all glyphs, which the largest of them would tell."""
        font = self._font
        font["maxp"].recalc(font)
        sizes = [
            len(glyph.program.getBytecode())
            for glyph in font["glyf"].glyphs.values()
            if hasattr(glyph, "program")
        ]
        if hasattr(font["maxp"], "maxSizeOfInstructions"):
            font["maxp"].maxSizeOfInstructions = max(sizes, default=0)
        font["hhea"].recalc(font)
        if "vhea" in font and "vmtx" in font:
            font["vhea"].recalc(font)
        if "OS/2" in font:
            font["OS/2"].recalcAvgCharWidth(font)
        if "post" in font:
            for key in ("minMemType42", "maxMemType42", "minMemType1", "maxMemType1"):
                setattr(font["post"], key, 0)
        if "name" in font:
            for record in font["name"].names:
                record.string = _TAG.sub("", str(record))


def _is_empty(glyph: Any) -> bool:
    return not getattr(glyph, "data", b"") and not getattr(glyph, "numberOfContours", 0)

"""One font of a document: its tables, its program, the codes in use, and what is to go."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from pikepdf import Name, Object

from packets.masking.font_codes import UnknownCodes
from packets.masking.font_order import (
    Order,
    arranged,
    is_own_encoding,
    may_be_by_use,
    order_of,
    shows_use,
)
from packets.masking.font_programs import Program
from packets.masking.font_tables import FontTables, digits_in, is_digit
from packets.masking.font_use import Key

_SPACE = 32
"""The one-byte code that word spacing applies to (9.3.3)."""
_ALL_DIGITS = frozenset("0123456789")
_EVERY_LETTER = range(0x21, 0x7F)


@dataclass
class FontInHand:
    """One font dictionary with what was learned of it."""

    key: Key
    tables: FontTables
    program: Program | None
    removed: frozenset[int] = frozenset()
    """Codes that masking took out somewhere."""
    every: bool = False
    """Whether all codes go that are not in use, whatever they are called."""
    used: set[int] = field(default_factory=set)
    spaced: bool = False
    _texts: dict[int, str] = field(default_factory=dict)
    _glyphs: dict[int, frozenset[int]] = field(default_factory=dict)

    def glyphs(self, code: int) -> frozenset[int]:
        """Glyphs of the program that a code may show."""
        if code not in self._glyphs:
            self._glyphs[code] = frozenset(self._find_glyphs(code))
        return self._glyphs[code]

    def _find_glyphs(self, code: int) -> set[int]:
        if self.program is None:
            return set()
        tables = self.tables
        if not tables.composite:
            return self.program.glyphs_of_code(code, tables.name(code))
        cid = tables.cid(code)
        if tables.glyph_numbers is not None:
            glyph = int.from_bytes(tables.glyph_numbers[2 * cid : 2 * cid + 2], "big")
            return {glyph} if glyph < self.program.count else set()
        found = self.program.glyph_of_cid(cid)
        return set() if found is None else {found}

    def text(self, code: int) -> str:
        """The character of a code; empty where nothing tells."""
        if code not in self._texts:
            self._texts[code] = self._find_text(code)
        return self._texts[code]

    def _find_text(self, code: int) -> str:
        told = self.tables.text(code)
        if told or self.program is None:
            return told
        return next((t for g in sorted(self.glyphs(code)) if (t := self.program.text(g))), "")

    def order(self, code: int) -> Order:
        outlines = (
            [self.program.outline(g) for g in sorted(self.glyphs(code))] if self.program else []
        )
        return order_of(self.text(code), b"".join(outlines))

    def listed(self) -> set[int]:
        """Codes that the font tells of, and those in use."""
        return self._listed | self.used

    @cached_property
    def _listed(self) -> set[int]:
        codes = self.tables.listed()
        if self.program is not None and self.by_number:
            codes |= {
                glyph
                for glyph in range(self.program.count)
                if is_digit(self.program.text(glyph)) and self.program.outline(glyph)
            }
        return codes

    @cached_property
    def by_number(self) -> bool:
        """Whether codes are glyph numbers of the program."""
        if self.program is None or not self.tables.identity or self.program.by_name:
            return False
        return self.tables.glyph_numbers is None

    def gone(self) -> set[int]:
        """Codes that are to go: unused ones that masking took out, or that show digits."""
        unused = self.listed() - self.used
        if self.every:
            return unused
        return {code for code in unused if code in self.removed or is_digit(self.text(code))}

    @cached_property
    def may_go(self) -> set[int]:
        """Codes that have to be seen in use before it is sure that nothing is to go."""
        return set(self.removed) | {code for code in self._listed if is_digit(self.text(code))}

    @property
    def has_own_codes(self) -> bool:
        """Whether the codes may be numbered by use, and can be numbered anew."""
        tables = self.tables
        if not tables.composite:
            listed = {code: self.text(code) for code in self.listed()}
            own = is_own_encoding(listed, doubtful=self.every)
            return own and (self.program is not None or bool(tables.names))
        gone = self.gone()
        kept = {code: self.text(code) for code in self.listed() - gone if code}
        return self.program is not None and tables.identity and may_be_by_use(kept, gone)

    @cached_property
    def shows_use(self) -> bool:
        """Whether its codes may tell what was written first, while all its digits are in use."""
        if not self.tables.is_sorted():
            return True
        if self.tables.composite:
            texts = {code: self.text(code) for code in self._listed if code}
            return self.program is not None and self.tables.identity and shows_use(texts)
        return self.has_own_codes

    def uses_every_digit(self) -> bool:
        return digits_in(self.text(code) for code in self.used) >= _ALL_DIGITS

    def code_moves(self) -> dict[int, int]:
        """Code -> new code, for a font that does not take its codes from glyph numbers."""
        gone, kept = self.gone(), self.listed()
        fixed = {0} if self.tables.composite else set()
        if _SPACE in kept and self.spaced and not self.tables.composite:
            if is_digit(self.text(_SPACE)):
                raise UnknownCodes  # a digit that is spaced as if it were a space
            fixed = {_SPACE}
        orders = {code: self.order(code) for code in kept - gone - fixed}
        return arranged(orders, gone - fixed)

    def write(
        self,
        gone: Collection[int],
        codes: Mapping[int, int],
        places: Mapping[int, int],
        names: Mapping[str, str],
    ) -> None:
        """Write the dictionary's tables anew."""
        self._write_glyph_numbers(gone, codes, places)
        self.tables.write(gone, codes, names)

    def _write_glyph_numbers(
        self, gone: Iterable[int], codes: Mapping[int, int], places: Mapping[int, int]
    ) -> None:
        data = self.tables.glyph_numbers
        if data is None:
            return
        lost = {self.tables.cid(code) for code in gone}
        new = bytearray(len(data))
        for cid in range(len(data) // 2):
            glyph = int.from_bytes(data[2 * cid : 2 * cid + 2], "big")
            place = codes.get(cid, cid)
            if cid not in lost and glyph:
                new[2 * place : 2 * place + 2] = places.get(glyph, glyph).to_bytes(2, "big")
        whole = len(data) == 2 << 16
        self.tables.inner.CIDToGIDMap.write(
            bytes(new) if whole else bytes(new).rstrip(b"\0") + b"\0"
        )

    def is_whole(self) -> bool:
        """Whether every letter, digit and mark of ASCII is there by every table: not a subset."""
        tables = self.tables
        if not tables.composite and tables.kind != "/Type3" and tables.unicode is None:
            renamed = any(is_digit(self.text(code)) for code in tables.names)
            if not renamed and "/Widths" not in tables.font:
                return True
            if not renamed and all(tables.widths.get(code, 0) for code in _EVERY_LETTER):
                return True
        by_text = {self.text(code): code for code in self._listed}
        codes = [by_text.get(chr(code)) for code in _EVERY_LETTER]
        return (
            tables.is_sorted()
            and not self.shows_use
            and all(
                code is not None
                and (tables.unicode is None or code in tables.unicode)
                and (not tables.widths or tables.widths.get(tables.cid(code), 0))
                for code in codes
            )
        )

    def drawn_texts(self) -> set[str]:
        """The characters that the program draws for the codes of the font."""
        program = self.program
        return (
            set()
            if program is None
            else {
                self.text(code)
                for code in self._listed
                if any(program.outline(glyph) for glyph in self.glyphs(code))
            }
        )


def is_whole(program: Program, fonts: Sequence[FontInHand]) -> bool:
    """Whether every letter, digit and mark of ASCII is drawn by a program."""
    drawn = {program.text(glyph) for glyph in range(program.count) if program.outline(glyph)}
    drawn.update(*(font.drawn_texts() for font in fonts))
    return all(chr(code) in drawn for code in _EVERY_LETTER)


def tag_of(name: Object, tag: str) -> Name | None:
    """The name of a font with another tag of a subset; None where it has none."""
    text = str(name)
    plain = text[8:] if text[7:8] == "+" and text[1:7].isupper() else ""
    return Name(f"/{tag}+{plain}") if plain else None

"""Fonts that share a program: what goes from all of them, and in which order the rest stands."""

import contextlib
import hashlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from pikepdf import Dictionary, Stream

from packets.masking.font_codes import UnknownCodes
from packets.masking.font_in_hand import FontInHand, is_whole, tag_of
from packets.masking.font_order import arranged, may_be_by_use, order_of, renamed, shows_use
from packets.masking.font_programs import (
    Change,
    Program,
    UnknownProgram,
    broken_programs_unknown,
    closed_over_parts,
    program_stream,
)
from packets.masking.font_tables import FontTables, is_digit
from packets.masking.font_use import FontUse, Key


@dataclass
class FontGroup:
    """Fonts that share a program; or one without."""

    program: Program | None
    fonts: list[FontInHand] = field(default_factory=list)

    def tells_nothing(self) -> bool:
        """Whether the fonts are whole, by their dictionaries and their program."""
        with contextlib.suppress(UnknownProgram), broken_programs_unknown():
            return self._are_whole()
        return False

    def _are_whole(self) -> bool:
        if not all(font.is_whole() for font in self.fonts):
            return False
        return self.program is None or (self._is_whole and not self._program_shows_use)

    @cached_property
    def _is_whole(self) -> bool:
        return self.program is not None and is_whole(self.program, self.fonts)

    def _texts(self) -> dict[int, str]:
        """Glyphs that codes stand for, and the characters that they show."""
        texts: dict[int, str] = {}
        for font in self.fonts:
            for code in sorted(font.listed()):
                for glyph in font.glyphs(code) - (self.program.fixed if self.program else set()):
                    texts[glyph] = texts.get(glyph) or font.text(code)
        return texts

    @cached_property
    def _program_shows_use(self) -> bool:
        return self.program is not None and shows_use(self._texts())

    def take_use(self, use: FontUse) -> None:
        """What is shown in one of the fonts keeps its place in all of them."""
        for composite in (False, True):
            alike = [font for font in self.fonts if font.tables.composite == composite]
            used = {code for font in alike for code in use.codes[font.key]}
            for font in alike:
                font.used, font.spaced = used, any(other.key in use.spaced for other in alike)

    def is_settled(self, use: FontUse) -> bool:
        """Whether what was seen so far shows that nothing is to be done."""
        with contextlib.suppress(UnknownProgram), broken_programs_unknown():
            return self._needs_nothing(use)
        return False

    def _needs_nothing(self, use: FontUse) -> bool:
        self.take_use(use)
        for font in self.fonts:
            if not font.uses_every_digit() or not font.may_go <= font.used or font.every:
                return False
        if self.program is not None and self.program.by_name and not self._is_named_fully():
            return False
        return not any(font.shows_use for font in self.fonts) and not self._program_shows_use

    def _is_named_fully(self) -> bool:
        """Whether no glyph that the program calls a digit is out of use."""
        program = self.program
        if program is None:
            return True
        used = {glyph for font in self.fonts for code in font.used for glyph in font.glyphs(code)}
        return not any(
            is_digit(program.text(glyph)) and glyph not in used for glyph in range(program.count)
        )

    def clear(self, use: FontUse, moves: dict[Key, Mapping[int, int]]) -> None:
        """Take out what is not in use, and put the rest in order. Raises `UnknownProgram`."""
        gone = {font.key: font.gone() for font in self.fonts}
        change = (
            self._change(gone) if self.program is not None else Change(frozenset(), frozenset())
        )
        codes: dict[Key, dict[int, int]] = {}
        for font in self.fonts:
            if font.by_number:
                codes[font.key] = {
                    code: change.places[code] for code in font.listed() if code in change.places
                }
            else:
                codes[font.key] = font.code_moves() if font.has_own_codes else {}
        changed = {
            key: {code: new for code, new in moved.items() if code != new}
            for key, moved in codes.items()
        }
        if any(moved and key in use.disputed for key, moved in changed.items()):
            raise UnknownCodes
        self._rewrite_program(change, gone, changed)
        for font in self.fonts:
            font.write(gone[font.key], codes[font.key], change.places, change.names)
        self._tag()
        moves.update((key, moved) for key, moved in changed.items() if moved)

    def _change(self, gone: Mapping[Key, set[int]]) -> Change:
        program = self.program
        if program is None or not self._is_to_change():
            return Change(frozenset(), frozenset())
        kept: set[int] = set()
        lost: set[int] = set()
        for font in self.fonts:
            for code in font.listed():
                (lost if code in gone[font.key] else kept).update(font.glyphs(code))
        kept = closed_over_parts(program, kept) - program.fixed
        lost |= {glyph for glyph in range(program.count) if is_digit(program.text(glyph))}
        lost = closed_over_parts(program, lost) - kept - program.fixed
        texts = self._texts()
        orders = {
            glyph: order_of(texts.get(glyph) or program.text(glyph), program.outline(glyph))
            for glyph in kept
        }
        known = {glyph: orders[glyph][1] for glyph in kept}
        places = arranged(orders, lost) if program.by_name or may_be_by_use(known, lost) else {}
        counting = {name: orders[glyph] for glyph, name in _counting_names(program, kept)}
        names = renamed(counting, [name for _, name in _counting_names(program, lost)])
        return Change(frozenset(lost), frozenset(kept), places, names=names)

    def _is_to_change(self) -> bool:
        """Whether the program is a subset, or in an order that tells, or encodes the codes."""
        own_codes = any(font.has_own_codes for font in self.fonts if not font.by_number)
        return not self._is_whole or self._program_shows_use or own_codes

    def _rewrite_program(
        self,
        change: Change,
        gone: Mapping[Key, set[int]],
        codes: Mapping[Key, Mapping[int, int]],
    ) -> None:
        program = self.program
        if program is None or not change.kept:
            return
        only = self.fonts[0]
        if not only.by_number and any(codes[font.key] != codes[only.key] for font in self.fonts):
            raise UnknownProgram  # several encodings for what the program can encode once
        coding = not only.by_number and (program.by_name or not only.tables.composite)
        lost = set.intersection(*(gone[font.key] for font in self.fonts))
        program.rewritten(
            Change(
                change.gone,
                change.kept,
                change.places,
                codes[only.key] if coding else {},
                frozenset(lost) if coding else frozenset(),
                change.names,
            ),
        )

    def _tag(self) -> None:
        """Tags of subsets anew: many programs make them from what is in the subset."""
        for font in self.fonts:
            tag = _letters(_told(font.tables))
            holders = [font.tables.font, font.tables.inner, font.tables.descriptor]
            for holder in holders:
                for key in ("/BaseFont", "/FontName"):
                    if isinstance(holder, Dictionary) and key in holder:
                        new = tag_of(holder[key], tag)
                        if new is not None:
                            holder[key] = new


def _counting_names(program: Program, glyphs: Iterable[int]) -> Iterator[tuple[int, str]]:
    """Those of the glyphs whose names only count them."""
    for glyph in glyphs:
        name = program.name(glyph)
        if name and not program.text(glyph) and not name.startswith("."):
            yield glyph, name


def _told(tables: FontTables) -> Sequence[bytes]:
    """What a reader of the packet gets of a font anyway."""
    found = program_stream(tables.descriptor)
    mapped = tables.font.get("/ToUnicode")
    return [
        found[1].read_bytes() if found is not None else b"",
        mapped.read_bytes() if isinstance(mapped, Stream) else b"",
    ]


def _letters(parts: Sequence[bytes]) -> str:
    digest = hashlib.sha256(b"\0".join(parts)).digest()
    return "".join(chr(ord("A") + byte % 26) for byte in digest[:6])

"""Fonts that tell nothing of what was masked.

A subset of a font holds what was written in it. After masking, whatever no page
uses any more goes out of its program, its widths, its encoding and its map to
Unicode, and codes or glyphs that were numbered as they came to be used are put
in the order of their characters. What is written is the same for every number
that may have stood there. Fonts that are whole tell nothing and stay.
"""

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import pikepdf
from pikepdf import Dictionary, Stream

from packets.masking.font_codes import UnknownCodes
from packets.masking.font_in_hand import FontInHand, is_whole, tag_of
from packets.masking.font_order import arranged, may_be_by_use, order_of, renamed, shows_use
from packets.masking.font_programs import (
    Change,
    Program,
    UnknownProgram,
    closed_over_parts,
    open_program,
    program_stream,
    rewrite,
)
from packets.masking.font_tables import TABLE_ERRORS, FontTables, is_digit
from packets.masking.font_use import FontUse, Key, rewrite_strings
from packets.masking.hit_fonts import HitFonts

_KINDS = frozenset({"/Type0", "/Type1", "/MMType1", "/TrueType", "/Type3"})
UNREAD = "a font in which a number was masked could not be cleared of its digits"


def clear_fonts(document: pikepdf.Pdf, hit: HitFonts) -> tuple[str, ...]:
    """Clear the hit fonts of a document that was rebuilt by list.

    Returns a sentence when one could not be cleared; the caller holds the packet.
    """
    groups, unread = _groups(document, hit)
    open_groups = [group for group in groups if not group.tells_nothing()]
    if open_groups:
        fonts = {font.key: font for group in open_groups for font in group.fonts}
        use = FontUse({key: font.tables.space for key, font in fonts.items()})
        use.follow(document, lambda: all(group.is_settled(use) for group in open_groups))
        for key, font in fonts.items():
            font.used, font.spaced = use.codes[key], key in use.spaced
        moves: dict[Key, Mapping[int, int]] = {}
        for group in open_groups:
            try:
                if not group.is_settled(use):
                    group.clear(use, moves)
            except (UnknownProgram, *TABLE_ERRORS):
                unread = True
        rewrite_strings(document, use, moves)
    return (UNREAD,) if unread else ()


def _groups(document: pikepdf.Pdf, hit: HitFonts) -> tuple[list["_Group"], bool]:
    """The hit fonts, those with one program together; and whether one could not be read."""
    groups: dict[Key, _Group] = {}
    unread = False
    for font in _fonts(document):
        key = font.objgen
        if not hit.all_fonts and key not in hit.removed:
            continue
        try:
            tables = FontTables(font)
        except TABLE_ERRORS:
            unread |= _is_embedded(font)
            continue
        found = program_stream(tables.descriptor)
        shared = found[1].objgen if found is not None else key
        try:
            if shared not in groups:
                groups[shared] = _Group(_program(tables))
            removed = hit.removed.get(key, frozenset())
            group = groups[shared]
            group.fonts.append(FontInHand(key, tables, group.program, removed, hit.every))
        except (UnknownProgram, *TABLE_ERRORS):
            unread = True
    return list(groups.values()), unread


def _fonts(document: pikepdf.Pdf) -> Iterator[Dictionary]:
    for item in document.objects:
        if isinstance(item, Dictionary) and str(item.get("/Subtype", "")) in _KINDS:
            yield item


def _is_embedded(font: Dictionary) -> bool:
    inner = font.get("/DescendantFonts", [font])[0]
    return program_stream(inner.get("/FontDescriptor")) is not None or "/CharProcs" in font


def _program(tables: FontTables) -> Program | None:
    if tables.kind == "/Type3":
        from packets.masking.type_three_programs import TypeThreeProgram  # noqa: PLC0415  # lazily

        return TypeThreeProgram(tables.font)
    return open_program(tables.descriptor, composite=tables.composite)


@dataclass
class _Group:
    """Fonts that share a program; or one without."""

    program: Program | None
    fonts: list[FontInHand] = field(default_factory=list)

    def tells_nothing(self) -> bool:
        """Whether the fonts are whole, by their dictionaries and their program."""
        if not all(font.is_whole() for font in self.fonts):
            return False
        return self.program is None or (self._is_whole and not self._program_shows_use)

    @cached_property
    def _is_whole(self) -> bool:
        return self.program is not None and is_whole(self.program)

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

    def is_settled(self, use: FontUse) -> bool:
        """Whether what was seen so far shows that nothing is to be done."""
        for font in self.fonts:
            font.used = use.codes[font.key]
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
        if program is None or self._is_whole:
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
        counting = {
            name: orders[glyph]
            for glyph in kept
            if (name := program.name(glyph)) and not program.text(glyph) and name[:1] != "."
        }
        lost_names = [
            name
            for glyph in lost
            if (name := program.name(glyph)) and not program.text(glyph) and name[:1] != "."
        ]
        return Change(frozenset(lost), frozenset(kept), places, names=renamed(counting, lost_names))

    def _rewrite_program(
        self,
        change: Change,
        gone: Mapping[Key, set[int]],
        codes: Mapping[Key, Mapping[int, int]],
    ) -> None:
        program = self.program
        if program is None or not change.kept:
            return
        coded = [key for key, moved in codes.items() if moved]
        if coded and len(self.fonts) > 1 and not self.fonts[0].by_number:
            raise UnknownProgram  # several encodings for what the program can encode once
        only = self.fonts[0]
        coding = program.by_name or not only.tables.composite
        by_code = coding and not only.by_number and len(self.fonts) == 1
        rewrite(
            program,
            Change(
                change.gone,
                change.kept,
                change.places,
                codes[only.key] if by_code else {},
                frozenset(gone[only.key]) if by_code else frozenset(),
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

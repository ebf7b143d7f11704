"""Fonts that tell nothing of what was masked.

A subset of a font holds what was written in it. After masking, whatever no page
uses any more goes out of its program, its widths, its encoding and its map to
Unicode, and codes or glyphs that were numbered as they came to be used are put
in the order of their characters. What is written is the same for every number
that may have stood there. Fonts that are whole tell nothing and stay.
"""

from collections.abc import Iterator, Mapping, Sequence

import pikepdf
from pikepdf import Array, Dictionary, Stream

from packets.masking.font_codes import UnknownCodes
from packets.masking.font_groups import FontGroup
from packets.masking.font_in_hand import FontInHand
from packets.masking.font_programs import (
    Program,
    UnknownProgram,
    broken_programs_unknown,
    open_program,
    program_stream,
)
from packets.masking.font_tables import TABLE_ERRORS, FontTables
from packets.masking.font_use import FontUse, Key, rewrite_strings
from packets.masking.hit_fonts import HitFonts

_KINDS = frozenset({"/Type0", "/Type1", "/MMType1", "/TrueType", "/Type3"})
UNREAD = "a font in which a number was masked could not be cleared of its digits"


def clear_fonts(document: pikepdf.Pdf, hit: HitFonts) -> tuple[str, ...]:
    """Clear the hit fonts of a document that was rebuilt by list.

    Returns a sentence when one could not be cleared; the caller holds the packet.
    """
    groups, unread = _groups(document, hit)
    waiting = [group for group in groups if not group.tells_nothing()]
    if waiting:
        fonts = [font for group in waiting for font in group.fonts]
        use = FontUse({font.key: font.tables.space for font in fonts})
        use.follow(document, lambda: all(group.is_settled(use) for group in waiting))
        moves: dict[Key, Mapping[int, int]] = {}
        for group in waiting:
            try:
                with broken_programs_unknown():
                    if not group.is_settled(use):
                        group.clear(use, moves)
            except (UnknownProgram, UnknownCodes):
                unread = True
        rewrite_strings(document, use, moves)
    return (UNREAD,) if unread else ()


def _groups(document: pikepdf.Pdf, hit: HitFonts) -> tuple[list[FontGroup], bool]:
    """The hit fonts with all that share their programs; and whether one could not be read."""
    fonts = list(_fonts(document))
    programs = {font.objgen: _program_key(font) for font in fonts}
    wanted = {key for font, key in programs.items() if hit.all_fonts or font in hit.removed}
    if wanted:
        _separate(document, fonts)
    groups: dict[Key, FontGroup] = {}
    unread = False
    for font in fonts:
        key = programs[font.objgen]
        if key not in wanted:
            continue
        try:
            tables = FontTables(font)
            if key not in groups:
                groups[key] = FontGroup(_program(tables))
            group = groups[key]
            removed = hit.removed.get(font.objgen, frozenset())
            group.fonts.append(FontInHand(font.objgen, tables, group.program, removed, hit.every))
        except (UnknownProgram, *TABLE_ERRORS):
            unread |= key != font.objgen or "/CharProcs" in font
    return list(groups.values()), unread


def _program_key(font: Dictionary) -> Key:
    """What fonts with the same embedded program share; a font without one stands alone."""
    below = font.get("/DescendantFonts")
    inner = below[0] if isinstance(below, Array) and len(below) else font
    found = program_stream(inner.get("/FontDescriptor")) if isinstance(inner, Dictionary) else None
    return font.objgen if found is None else found[1].objgen


def _separate(document: pikepdf.Pdf, fonts: Sequence[Dictionary]) -> None:
    """Give each font a map to Unicode of its own, where several share one."""
    seen: set[Key] = set()
    for font in fonts:
        mapped = font.get("/ToUnicode")
        if isinstance(mapped, Stream):
            if mapped.objgen in seen:
                font.ToUnicode = document.make_stream(mapped.read_bytes())
            seen.add(mapped.objgen)


def _fonts(document: pikepdf.Pdf) -> Iterator[Dictionary]:
    for item in document.objects:
        if isinstance(item, Dictionary) and str(item.get("/Subtype", "")) in _KINDS:
            yield item


def _program(tables: FontTables) -> Program | None:
    if tables.kind == "/Type3":
        from packets.masking.type_three_programs import TypeThreeProgram  # noqa: PLC0415  # lazily

        return TypeThreeProgram(tables.font)
    return open_program(tables.descriptor, composite=tables.composite)

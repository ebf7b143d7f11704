"""Fonts whose text says one thing while the page shows another.

A map to Unicode (ISO 32000-2, 9.10.3) is believed by every reader of text, and
nothing holds it to what the glyphs look like. So the outline of each character
that a page uses is compared, once for each font program, with the letters and
digits of standard faces. Where several are drawn as digits under other names,
the page is read as pixels.
"""

import ctypes
import hashlib
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

import pypdfium2.raw as pdfium_c
from PIL import Image

from packets.outbound.glyph_outlines import outline_of, seen_outline
from packets.outbound.hidden_digits import is_hidden_digit
from packets.outbound.objects.character_maps import one_byte_targets, single_targets
from packets.outbound.objects.opened import InflationAllowance, OpenedFile
from packets.outbound.objects.values import Ref, Value
from packets.outbound.pdfium_calls import as_font, font_of, text_of
from packets.outbound.pdfium_document import Page

_ENOUGH = 2
"""So many characters of one font must be drawn as digits under other names."""
_SAME_NAME = 4
"""So many codes under the name of one letter or digit: what they draw cannot be asked for."""
_LOOK_ALIKES = frozenset("oOlI|!'\u2019ij")
_SCALE = 2.5
"""Pixels to a point where characters are looked at."""
_MOST_OBJECTS = 50_000
_PROGRAMS = ("FontFile", "FontFile2", "FontFile3")


@dataclass
class GlyphNames:
    """What has been learned of a document's fonts so far."""

    may_mislead: bool
    """Whether any font of the file has a program or a map of its own."""
    ambiguous: bool
    """Whether one name stands for many codes, or one program has several maps."""
    by_sight: bool
    """Whether a font of one-byte codes has a map that says otherwise than ASCII: PDFium
    then asks its encoding and not its map for the glyph of a character."""
    bare_maps: bool = True
    """Whether a font without a program of its own has a map, which may lie all the same."""
    _seen: dict[tuple[bytes, str], bool] = field(default_factory=dict)
    _hidden: dict[tuple[bytes, str], bool] = field(default_factory=dict)

    def mislead_on(self, page: Page, text_page: Page, texts: Sequence[int]) -> bool:
        """Whether a font of the page, which draws these text objects, draws digits as others."""
        if not self.may_mislead:
            return False
        if self.ambiguous:
            return True
        for font, chars in _fonts_of(texts, text_page, standard=self.bare_maps).values():
            program = _program_digest(font)
            if sum(self._is_hidden(font, program, char) for char in sorted(chars)) >= _ENOUGH:
                return True
        return self.by_sight and self._looks_false(page, text_page)

    def _looks_false(self, page: Page, text_page: Page) -> bool:
        """The same by what the page shows in the place of each character."""
        programs: dict[int, bytes] = {}
        hidden: Counter[bytes] = Counter()
        used: set[tuple[bytes, str]] = set()
        picture: Image.Image | None = None
        for char, font, index in _placed_characters(text_page):
            place = ctypes.addressof(font.contents)
            if place not in programs:
                programs[place] = _program_digest(font)
            key = programs[place], char
            if key in used:
                continue
            if key not in self._seen:
                picture = picture or page.render(scale=_SCALE, grayscale=True).to_pil().convert("L")
                outline = seen_outline(_cell(page, text_page, index, picture))
                if outline is None:
                    continue
                self._seen[key] = is_hidden_digit(outline, char)
            used.add(key)
            hidden[key[0]] += self._seen[key]
        return max(hidden.values(), default=0) >= _ENOUGH

    def _is_hidden(self, font: Any, program: bytes, char: str) -> bool:
        key = program, char
        if key not in self._hidden:
            outline = None if char in _LOOK_ALIKES or char.isspace() else outline_of(font, char)
            self._hidden[key] = outline is not None and is_hidden_digit(outline, char)
        return self._hidden[key]


def glyph_names(opened: OpenedFile, allowance: InflationAllowance) -> GlyphNames:
    """What the file's own font dictionaries tell."""
    maps: dict[int, set[int]] = {}
    mislead = ambiguous = by_sight = bare = False
    for found in opened.objects:
        if found.entries.get("Type") != "Font" and "ToUnicode" not in found.entries:
            continue
        program, target = _program(opened, found.entries), found.entries.get("ToUnicode")
        mislead |= program is not None or target is not None
        bare |= program is None and target is not None
        if isinstance(target, Ref):
            maps.setdefault(program or -target.number, set()).add(target.number)
            ambiguous |= _has_crowded_name(opened, target, allowance)
            by_sight |= _contradicts_ascii(opened, found.entries, target, allowance)
    ambiguous |= any(len(targets) > 1 for targets in maps.values())
    return GlyphNames(mislead, ambiguous, by_sight, bare)


def _program(opened: OpenedFile, font: dict[str, Value]) -> int | None:
    """Object number of the font program, of a composite font's too."""
    below = opened.resolved(font.get("DescendantFonts"))
    if isinstance(below, list) and below:
        inner = opened.resolved(below[0])
        font = inner if isinstance(inner, dict) else font
    descriptor = opened.resolved(font.get("FontDescriptor"))
    for key in _PROGRAMS if isinstance(descriptor, dict) else ():
        target = descriptor.get(key)  # type: ignore[union-attr]  # a dictionary, as was just seen
        if isinstance(target, Ref):
            return target.number
    return None


def _has_crowded_name(opened: OpenedFile, target: Ref, allowance: InflationAllowance) -> bool:
    stream = opened.latest.get(target.number)
    if stream is None or stream.raw is None:
        return False
    counted = Counter(single_targets(opened.decode(stream, allowance).data))
    return any(count >= _SAME_NAME and char.isalnum() for char, count in counted.items())


def _contradicts_ascii(
    opened: OpenedFile, font: dict[str, Value], target: Ref, allowance: InflationAllowance
) -> bool:
    stream = opened.latest.get(target.number)
    if font.get("Subtype") == "Type0" or stream is None or stream.raw is None:
        return False
    pairs = one_byte_targets(opened.decode(stream, allowance).data)
    return any(0x20 < code < 0x7F and char != chr(code) for code, char in pairs)


def _placed_characters(text_page: Page) -> Iterator[tuple[str, Any, int]]:
    raw = text_page.raw
    for index in range(min(pdfium_c.FPDFText_CountChars(raw), _MOST_OBJECTS)):
        code = pdfium_c.FPDFText_GetUnicode(raw, index)
        char = chr(code) if code < 0x110000 else "\ufffd"
        if char.isspace() or char in _LOOK_ALIKES:
            continue
        item = pdfium_c.FPDFText_GetTextObject(raw, index)
        font = pdfium_c.FPDFTextObj_GetFont(item) if item else None
        if font:
            yield char, font, index


def _cell(page: Page, text_page: Page, index: int, picture: Image.Image) -> Image.Image:
    """The place of one character in a picture of its page."""
    left, right, bottom, top = (ctypes.c_double() for _ in range(4))
    pdfium_c.FPDFText_GetCharBox(
        text_page.raw, index, *map(ctypes.byref, (left, right, bottom, top))
    )
    xs, ys = [], []
    for x, y in ((left, bottom), (right, top)):
        across, down = ctypes.c_int(), ctypes.c_int()
        pdfium_c.FPDF_PageToDevice(
            page.raw, 0, 0, *picture.size, 0, x, y, ctypes.byref(across), ctypes.byref(down)
        )
        xs.append(min(max(across.value, 0), picture.width))
        ys.append(min(max(down.value, 0), picture.height))
    return picture.crop((min(xs), min(ys), max(xs) + 1, max(ys) + 1))


def _fonts_of(
    texts: Sequence[int], text_page: Page, *, standard: bool
) -> dict[int, tuple[Any, set[str]]]:
    """The fonts of text objects with the characters that they show in each.

    Without `standard` those that have no program in the file are left out: they
    draw what their codes say.
    """
    fonts: dict[int, tuple[Any, set[str]]] = {}
    left_out: set[int] = set()
    for item in texts[:_MOST_OBJECTS]:
        place = font_of(item)
        if not place or place in left_out:
            continue
        if place not in fonts:
            font = as_font(place)
            if not standard and pdfium_c.FPDFFont_GetIsEmbedded(font) == 0:
                left_out.add(place)
                continue
            fonts[place] = (font, set())
        fonts[place][1].update(_text(item, text_page))
    return fonts


def _text(item: int, text_page: Page) -> str:
    raw = text_page.raw
    size = text_of(item, raw, None, 0)
    if size <= 2:
        return ""
    buffer = ctypes.create_string_buffer(size)
    text_of(item, raw, buffer, size)
    return buffer.raw[: size - 2].decode("utf-16-le", "replace")


def _program_digest(font: Any) -> bytes:
    """What tells one font from another: its program, or its name where it has none."""
    size = ctypes.c_size_t()
    if pdfium_c.FPDFFont_GetIsEmbedded(font) == 1 and pdfium_c.FPDFFont_GetFontData(
        font, None, 0, ctypes.byref(size)
    ):
        buffer = (ctypes.c_uint8 * size.value)()
        pdfium_c.FPDFFont_GetFontData(font, buffer, size.value, ctypes.byref(size))
        return hashlib.sha256(buffer).digest()
    length = pdfium_c.FPDFFont_GetBaseFontName(font, None, 0)
    name = ctypes.create_string_buffer(max(1, length))
    pdfium_c.FPDFFont_GetBaseFontName(font, name, length)
    return name.raw

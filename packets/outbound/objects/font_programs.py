"""Which streams are font programs and nothing else: bytes that no reader takes for text."""

from packets.outbound.objects.opened import OpenedFile
from packets.outbound.objects.values import Ref

_FONT_FILE_KEYS = ("FontFile", "FontFile2", "FontFile3")
"""Of a font descriptor (ISO 32000-1, Table 122)."""
_STARTS = (b"\0\1\0\0", b"OTTO", b"true", b"ttcf", b"\1\0\4", b"%!PS-AdobeFont", b"%!FontType1")
"""TrueType, OpenType, CFF with the usual header, Type 1."""
_DRAWN_BY = ("BBox", "Resources", "PatternType", "FormType", "Matrix")
"""Keys of forms and patterns (Tables 75 and 95), whose streams a page can draw."""


def font_programs(opened: OpenedFile) -> frozenset[int]:
    """Numbers of the streams that a font descriptor names as its font program.

    A stream that a page could draw as well, by its own entries, is none.
    """
    named = {
        target.number
        for found in opened.objects
        for key in _FONT_FILE_KEYS
        if isinstance(target := found.entries.get(key), Ref)
    }
    drawn = {
        found.number
        for found in opened.objects
        if found.number in named and any(key in found.entries for key in _DRAWN_BY)
    }
    return frozenset(named - drawn)


def starts_like_a_font(data: bytes) -> bool:
    """Whether bytes begin as a font program does."""
    return data.startswith(_STARTS)

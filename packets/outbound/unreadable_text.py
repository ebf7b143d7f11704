"""Whether a page's text says what the page shows."""

import re

import pypdfium2.raw as pdfium_c

from packets.outbound.objects.opened import OpenedFile
from packets.outbound.objects.values import Value
from packets.outbound.pdfium_document import Page

_ENOUGH = 4
_ODD = re.compile("[\ufffd\\0\ue000-\uf8ff]")
"""Replacement character, null, and the private use area."""


def is_unreadable(text_page: Page, text: str, *, odd_fonts: bool) -> bool:
    """Whether several characters stand for no known letter: then only the pixels tell.

    With `odd_fonts` PDFium is asked about every single character.
    """
    odd = len(_ODD.findall(text))
    if odd < _ENOUGH and odd_fonts:
        unmapped = pdfium_c.FPDFText_HasUnicodeMapError
        count = pdfium_c.FPDFText_CountChars(text_page.raw)
        odd += sum(1 for index in range(count) if unmapped(text_page.raw, index) == 1)
    return odd >= _ENOUGH


def draws_letters_by_procedure(opened: OpenedFile) -> bool:
    """Whether a font of the file draws its letters itself (Type 3)."""
    return any(found.entries.get("Subtype") == "Type3" for found in opened.objects)


def has_odd_fonts(opened: OpenedFile) -> bool:
    """Whether a font of the file may not name its letters: no map to Unicode, own encoding."""
    return any(
        found.entries.get("Type") == "Font"
        and "ToUnicode" not in found.entries
        and (found.entries.get("Subtype") == "Type0" or _renames(opened, found.entries))
        for found in opened.objects
    )


def _renames(opened: OpenedFile, font: dict[str, Value]) -> bool:
    encoding = opened.resolved(font.get("Encoding"))
    return isinstance(encoding, dict) and "Differences" in encoding

"""Functions of PDFium that are called for each of the thousands of objects of a page.

By the library's own declarations each answer becomes a pointer object, which takes
longer than the call. Here objects are plain addresses, 0 or None where there is none.
A pointer of the library's is taken as well, and `as_object` makes one.
"""

import ctypes
from typing import Any

import pypdfium2.raw as pdfium_c


def _plain(function: Any) -> Any:
    """The same function of the loaded library, with addresses for pointers."""
    answer, *takes = (
        ctypes.c_void_p if hasattr(kind, "contents") else kind
        for kind in (function.restype, *function.argtypes)
    )
    address = ctypes.cast(function, ctypes.c_void_p).value or 0
    return ctypes.CFUNCTYPE(answer, *takes)(address)


objects_on = _plain(pdfium_c.FPDFPage_CountObjects)
object_on = _plain(pdfium_c.FPDFPage_GetObject)
objects_in_form = _plain(pdfium_c.FPDFFormObj_CountObjects)
object_in_form = _plain(pdfium_c.FPDFFormObj_GetObject)
objects_of_annotation = _plain(pdfium_c.FPDFAnnot_GetObjectCount)
object_of_annotation = _plain(pdfium_c.FPDFAnnot_GetObject)
kind_of = _plain(pdfium_c.FPDFPageObj_GetType)
box_of = _plain(pdfium_c.FPDFPageObj_GetBounds)
matrix_of = _plain(pdfium_c.FPDFPageObj_GetMatrix)
clip_of = _plain(pdfium_c.FPDFPageObj_GetClipPath)
paths_of_clip = _plain(pdfium_c.FPDFClipPath_CountPaths)
segments_of_clip = _plain(pdfium_c.FPDFClipPath_CountPathSegments)
segments_of = _plain(pdfium_c.FPDFPath_CountSegments)
font_of = _plain(pdfium_c.FPDFTextObj_GetFont)
text_of = _plain(pdfium_c.FPDFTextObj_GetText)
segments_of_glyph = _plain(pdfium_c.FPDFGlyphPath_CountGlyphSegments)
segment_of_glyph = _plain(pdfium_c.FPDFGlyphPath_GetGlyphPathSegment)
kind_of_segment = _plain(pdfium_c.FPDFPathSegment_GetType)
point_of_segment = _plain(pdfium_c.FPDFPathSegment_GetPoint)


def as_object(address: int) -> Any:
    """A page object as the library's own functions take it."""
    return ctypes.cast(address, pdfium_c.FPDF_PAGEOBJECT)


def as_font(address: int) -> Any:
    """A font as the library's own functions take it."""
    return ctypes.cast(address, pdfium_c.FPDF_FONT)

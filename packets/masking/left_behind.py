"""What a source carries that the rebuild by list will not take along, in words for a person."""

import io
from collections.abc import Iterator

import pikepdf
from pikepdf import Dictionary

from packets.base.errors import Damaged
from packets.masking.refusals import broken_documents_refused

_CATALOGUE = {
    "/Metadata": "metadata (XMP)",
    "/OpenAction": "an action on opening",
    "/AA": "automatic actions",
    "/Outlines": "bookmarks",
    "/Dests": "named destinations",
    "/StructTreeRoot": "structure and alternative text",
    "/OCProperties": "layers",
    "/PieceInfo": "private data of a program",
    "/AF": "associated files",
    "/Collection": "a portfolio",
    "/Threads": "article threads",
    "/URI": "a base address for links",
    "/Perms": "usage rights",
    "/DSS": "signature validation data",
}
_NAMES = {
    "/JavaScript": "scripts",
    "/EmbeddedFiles": "attached files",
    "/Dests": "named destinations",
}


def left_behind(pdf: bytes) -> tuple[str, ...]:
    """Kinds of content, each named once; nothing of their values. Empty when it cannot be told."""
    try:
        with (
            broken_documents_refused("this document cannot be taken apart"),
            pikepdf.open(io.BytesIO(pdf)) as document,
        ):
            return tuple(dict.fromkeys(_kinds(document, pdf)))
    except Damaged:
        return ()


def _kinds(document: pikepdf.Pdf, pdf: bytes) -> Iterator[str]:
    root = document.Root
    if "/Info" in document.trailer:
        yield "document information"
    yield from (words for key, words in _CATALOGUE.items() if key in root)
    names = root.get("/Names")
    if isinstance(names, Dictionary):
        yield from (words for key, words in _NAMES.items() if key in names)
    form = root.get("/AcroForm")
    if isinstance(form, Dictionary):
        yield "form fields (their look stays)"
        if "/XFA" in form:
            yield "an XFA form"
    if pdf.count(b"%%EOF") > 1:
        yield "earlier revisions"
    for page in document.pages:
        if "/Annots" in page.obj:
            yield "annotations (their look stays)"
        if "/Thumb" in page.obj:
            yield "page thumbnails"

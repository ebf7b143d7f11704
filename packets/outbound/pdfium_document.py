"""Opening a PDF with PDFium; the one place where its errors become ours."""

import contextlib
from collections.abc import Iterator
from typing import Any, TypeAlias

import pypdfium2
import pypdfium2.raw as pdfium_c
from pypdfium2 import PDFIUM_INFO, PYPDFIUM_INFO

from packets.base.errors import Damaged, Locked, OverLimit
from packets.base.limits import Limits
from packets.base.secret import Secret

Document: TypeAlias = Any
"""A `pypdfium2.PdfDocument`; the library ships no types."""
Page: TypeAlias = Any

PDFIUM_VERSION = f"pypdfium2 {PYPDFIUM_INFO.version} (PDFium {PDFIUM_INFO.version})"


@contextlib.contextmanager
def pdfium_document(data: bytes, passphrase: Secret | None, limits: Limits) -> Iterator[Document]:
    """The document behind `data`, closed afterwards.

    Raises Locked, Damaged or OverLimit.
    """
    word = passphrase.reveal() if passphrase is not None else None
    try:
        document = pypdfium2.PdfDocument(data, password=word)
    except pypdfium2.PdfiumError as error:
        if error.err_code == pdfium_c.FPDF_ERR_PASSWORD:
            what = "this file asks for a password"
            raise Locked(
                what if word is None else "the passphrase does not open this file"
            ) from None
        raise Damaged("PDFium cannot open this file") from None
    try:
        if len(document) > limits.pages:
            raise OverLimit("more pages than this program promises to read")
        yield document
    finally:
        document.close()


@contextlib.contextmanager
def pdfium_page(document: Document, number: int) -> Iterator[Page]:
    """Page `number` (from 1), closed afterwards. Raises Damaged."""
    try:
        page = document[number - 1]
    except pypdfium2.PdfiumError:
        raise Damaged("PDFium cannot load this page") from None
    try:
        yield page
    finally:
        page.close()

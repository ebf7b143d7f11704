"""Readers of PDF text that are not ours, each reporting every digit it can get at."""

import contextlib
import io
import logging
import re
import shutil
import subprocess
import unicodedata
import warnings
from collections.abc import Callable, Iterator

import pypdf
import pypdfium2
from pdfminer.converter import PDFPageAggregator
from pdfminer.layout import LTChar, LTPage
from pdfminer.pdfinterp import PDFPageInterpreter, PDFResourceManager
from pdfminer.pdfpage import PDFPage

logging.getLogger("pdfminer").setLevel(logging.CRITICAL)
logging.getLogger("pypdf").setLevel(logging.CRITICAL)

Read = Callable[[bytes], str]
_CODE_OF_NO_NAME = re.compile(r"\(cid:\d+\)|/g\d+")
"""What two of the readers put for a glyph that has no meaning: its code, or its name."""


def by_pdfminer(pdf: bytes) -> str:
    """Every glyph in drawing order, forms included, wherever it stands."""
    try:
        pages = list(_laid_out(pdf))
    except ValueError:  # it gives up on fonts that the others read
        return ""
    return "".join(char.get_text() for page in pages for char in _chars(page))


def _laid_out(pdf: bytes) -> Iterator[LTPage]:
    resources = PDFResourceManager()
    device = PDFPageAggregator(resources, laparams=None)
    interpreter = PDFPageInterpreter(resources, device)
    for page in PDFPage.get_pages(io.BytesIO(pdf)):
        interpreter.process_page(page)
        yield device.get_result()


def _chars(item: object) -> Iterator[LTChar]:
    if isinstance(item, LTChar):
        yield item
    elif hasattr(item, "__iter__"):
        for inner in item:
            yield from _chars(inner)


def by_pypdf(pdf: bytes) -> str:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            pages = pypdf.PdfReader(io.BytesIO(pdf)).pages
            return "\n".join(page.extract_text() for page in pages)
        except ValueError:  # as above
            return ""


def by_pdfium(pdf: bytes) -> str:
    with contextlib.closing(pypdfium2.PdfDocument(pdf)) as document:
        return "\n".join(
            document[number].get_textpage().get_text_range() for number in range(len(document))
        )


def by_poppler(pdf: bytes) -> str:
    done = subprocess.run(
        ["pdftotext", "-layout", "-", "-"], input=pdf, capture_output=True, check=False
    )
    return done.stdout.decode("utf-8", "replace")


READERS: dict[str, Read] = {"pdfminer": by_pdfminer, "pypdf": by_pypdf, "PDFium": by_pdfium}
if shutil.which("pdftotext"):
    READERS["poppler"] = by_poppler


def digits_of(text: str) -> str:
    """The digits of a text, those of every script as ASCII."""
    text = _CODE_OF_NO_NAME.sub("", text)
    return "".join(str(unicodedata.digit(char)) for char in text if char.isdigit())


def all_digits(pdf: bytes) -> dict[str, str]:
    """Per reader: the digits of the whole file, in its own order."""
    return {name: digits_of(read(pdf)) for name, read in READERS.items()}

"""Reading drawn pages as the inventory does, from their text or from a picture of them."""

import pymupdf
from drawn_pages import Draw, pdf_of

from packets.intake.classify import PageGuess, classify_page
from packets.reading.ocr import OcrReader
from packets.reading.page_text import read_page


def guess_of(draw: Draw) -> PageGuess:
    """What one drawn page seems to be, by its text."""
    return guess_in(pdf_of(draw), 0)


def guess_in(pdf: bytes, index: int) -> PageGuess:
    """What one page of a PDF seems to be."""
    with pymupdf.open(stream=pdf) as document, OcrReader() as ocr:
        return classify_page(read_page(document, index, ocr))


def scanned(pdf: bytes, index: int = 0, dpi: int = 200) -> bytes:
    """A PDF whose one page is a grey picture of a page."""
    with pymupdf.open(stream=pdf) as document, pymupdf.open() as scan:
        page = document[index]
        pixels = page.get_pixmap(dpi=dpi, colorspace=pymupdf.csGRAY)
        new = scan.new_page(width=page.rect.width, height=page.rect.height)
        new.insert_image(new.rect, pixmap=pixels)
        return bytes(scan.tobytes())

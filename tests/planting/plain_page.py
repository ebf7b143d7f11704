"""A page of plain words in which something may be hidden."""

from masking_run import known_number
from planted_pages import NUMBER, blank_sheet, fill_page

KNOWN = [known_number(NUMBER)]
DIGITS = NUMBER.replace("-", "")
TEXT = b"BT /F1 12 Tf 50 300 Td (plain words) Tj ET"
N = NUMBER.encode()


def document_with(content=TEXT, fonts=None, resources=None):
    document = blank_sheet()
    fill_page(document, document.pages[0].obj, content, fonts or {}, resources or {})
    return document

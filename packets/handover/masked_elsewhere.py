"""The last four digits that somebody left of a masked number, anywhere in a document.

Whoever prints `XXX-XX-7788` has masked a taxpayer's number (26 CFR 301.6109-4). A number
that ends so may be the very one, and to show it would undo that mask.
"""

from collections.abc import Iterator

import pymupdf

from packets.identifiers.already_masked import Masks
from packets.identifiers.digits import fold
from packets.masking.survey import Survey, open_for_reading

_LEFT = 4


def masked_endings(pdf: bytes, survey: Survey) -> frozenset[str]:
    """The last four digits of every number that is masked in text, pictures or drawn ink."""
    document = open_for_reading(pdf)
    try:
        return frozenset(
            digits[-_LEFT:]
            for line in (*_text_lines(document), *survey.ink_texts())
            for digits in _left_of_masks(fold(line).text)
            if len(digits) >= _LEFT
        )
    finally:
        document.close()


def _left_of_masks(line: str) -> Iterator[str]:
    for start, end in Masks(line).spans:
        yield "".join(char for char in line[start:end] if char.isdecimal())


def _text_lines(document: pymupdf.Document) -> Iterator[str]:
    for number in range(document.page_count):
        yield from document[number].get_text().splitlines()

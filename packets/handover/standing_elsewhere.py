"""Do the digits that a person calls no number stand anywhere else in the folder, in any form?

A number in its usual shape is known from wherever it stands. Nine bare digits, or those
in a barcode, are not, though they say as well that the number means something.
"""

import re
from collections.abc import Iterable, Iterator

from packets.identifiers.digits import fold
from packets.masking.survey import Survey

_NO_DIGITS = re.compile("[^0-9]+")


def stands_elsewhere(digits: str, surveys: Iterable[tuple[Survey, Iterable[int]]]) -> bool:
    """Whether the digits stand in one of the documents more often than is accounted for.

    With each survey come the pages (from 1) of its text on which they are let through,
    each as many times as they are.
    """
    return any(_in_document(digits, survey, tuple(pages)) for survey, pages in surveys)


def _in_document(digits: str, survey: Survey, pages: tuple[int, ...]) -> bool:
    for number, page in enumerate(survey.pages, start=1):
        allowed = pages.count(number)
        if any(text.reveal().count(digits) > allowed for text in (page.in_lines, page.as_drawn)):
            return True
    return any(digits in text for text in _in_ink(survey))


def _in_ink(survey: Survey) -> Iterator[str]:
    """The digits of every picture, of drawn ink and of every code, each for itself."""
    for picture in survey.pictures:
        yield _digits(" ".join(word.text for word in picture.text.words))
        yield from (_digits(code.content.reveal()) for code in picture.barcodes if code.content)
    for drawn in survey.drawn:
        for reading in drawn.readings:
            yield _digits(" ".join(word.text for word in reading.words))
        yield from (_digits(code.content.reveal()) for code in drawn.codes if code.content)


def _digits(text: str) -> str:
    return _NO_DIGITS.sub("", fold(text).text)

"""Do the digits that a person calls no number stand anywhere else in the folder, in any form?

A number in its usual shape is known from wherever it stands. Nine bare digits, or those
in a barcode, are not, though they say as well that the number means something.
"""

from collections.abc import Iterable, Iterator

from packets.identifiers.digits import only_digits
from packets.masking.survey import Survey


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
    yield from map(only_digits, survey.ink_texts())
    contents = [code.content for picture in survey.pictures for code in picture.barcodes]
    contents += [code.content for drawn in survey.drawn for code in drawn.codes]
    yield from (only_digits(content.reveal()) for content in contents if content)

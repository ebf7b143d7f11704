"""Look once at a flattened document: every number on its pages and in its pictures.

The survey is taken with every kind and without known numbers; what a recipe
masks and which numbers are known are applied afterwards, and only a page on
which a known number shows in a form that the survey did not see is read again.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import pymupdf

from packets.base.errors import Damaged
from packets.base.secret import Secret
from packets.base.shared_out import shared_out
from packets.identifiers.digits import fold
from packets.identifiers.kinds import Kind, KnownNumber
from packets.identifiers.layout import GlyphMatch, GlyphRun, find_on_page
from packets.identifiers.records import Sureness
from packets.masking.drawing_bombs import refuse_drawing_bombs
from packets.masking.drawn_survey import drawn_survey, may_be_drawn
from packets.masking.outlined_fonts import GlyphNames
from packets.masking.page_survey import EVERY_KIND, PageSurvey, survey_page
from packets.masking.reachable_pictures import reachable_pictures
from packets.masking.refusals import broken_documents_refused
from packets.reading.glyphs import clips_with_text
from packets.reading.ocr import OcrReader
from packets.reading.records import FirstLook

_LONG = 24
"""Pages of a document by which a copy of the process earns what it costs."""


if TYPE_CHECKING:
    from packets.masking.drawn_records import DrawnSurvey
    from packets.masking.picture_survey import PictureSurvey, UnreadPlace


@dataclass(frozen=True)
class Survey:
    """One document, looked at once."""

    pages: tuple[PageSurvey, ...]
    pictures: "tuple[PictureSurvey, ...]"
    unread: "tuple[UnreadPlace, ...]"
    clipping: bool = False
    """Whether text may be used as a clipping path only."""
    drawn: "tuple[DrawnSurvey, ...]" = ()
    """Pages with ink that no font tells."""

    def ink_texts(self) -> Iterator[str]:
        """The words of each picture, and of each reading of drawn ink, in one line each."""
        for picture in self.pictures:
            yield " ".join(word.text for word in picture.text.words)
        for drawn in self.drawn:
            for reading in drawn.readings:
                yield " ".join(word.text for word in reading.words)


def survey_document(
    pdf: bytes, ocr: OcrReader, *, drawn: bool = True, looks: Sequence[FirstLook | None] = ()
) -> Survey:
    """Survey a flattened document. Raises `Damaged` or `OverLimit` when it cannot be read.

    Without `drawn` ink that no font tells is passed over: it was looked at before.
    `looks` are those that were taken of the pages of these very bytes, None for a page
    that is to be looked at here.
    """
    with broken_documents_refused("the pages of this document cannot be read"):
        refuse_drawing_bombs(pdf)
        document = open_for_reading(pdf)
        try:
            clipping = clips_with_text(document)
            looked = _looked_at(document, clipping, looks, drawn=drawn)
            survey = _with_pictures(
                document, pdf, ocr, tuple(look.text for look in looked), clipping
            )
            suspects = [number for number, look in enumerate(looked) if look.may_be_drawn]
            return replace(survey, drawn=drawn_survey(document, suspects, ocr))
        finally:
            document.close()


@dataclass(frozen=True)
class _Look:
    """One page."""

    text: PageSurvey
    may_be_drawn: bool
    """Whether it holds ink that no font tells."""


def _looked_at(
    document: pymupdf.Document,
    clipping: bool,
    looks: Sequence[FirstLook | None],
    *,
    drawn: bool,
) -> tuple[_Look, ...]:
    """The text and the drawings of every page."""
    names = GlyphNames()

    def look(number: int) -> _Look:
        page = document[number]
        first = looks[number] if looks else None
        text = survey_page(page, clipping=clipping, look=first)
        return _Look(text, drawn and may_be_drawn(page, names))

    return tuple(shared_out(range(document.page_count), look, many=_LONG))


def _with_pictures(
    document: pymupdf.Document,
    pdf: bytes,
    ocr: OcrReader,
    pages: tuple[PageSurvey, ...],
    clipping: bool,
) -> Survey:
    reachable = reachable_pictures(pdf)
    if not any(reachable):
        return Survey(pages, (), (), clipping)
    from packets.masking.picture_survey import survey_pictures  # noqa: PLC0415 - many hold no picture

    return Survey(pages, *survey_pictures(document, reachable, ocr), clipping)


def open_for_reading(pdf: bytes) -> pymupdf.Document:
    """Open PDF bytes with MuPDF; its errors become ours."""
    try:
        return pymupdf.open(stream=pdf, filetype="pdf")
    except (pymupdf.FileDataError, pymupdf.EmptyFileError, RuntimeError) as error:
        raise Damaged("the pages of this document cannot be read") from error


def learned(surveys: Sequence[Survey]) -> tuple[KnownNumber, ...]:
    """Numbers that a label names, or that are written as one: each once.

    Five- and six-digit PINs are too short to be hunted; they are masked where
    their label stands.
    """
    found: dict[tuple[Kind, str], KnownNumber] = {}
    for survey in surveys:
        seen = [(it.kind, it.digits, it.sureness) for page in survey.pages for it in page.seen]
        seen.extend(_in_pictures(survey.pictures))
        for number in _drawn(survey.drawn):
            found.setdefault((number.kind, number.digits.reveal()), number)
        for kind, digits, sureness in seen:
            text = digits.reveal()
            if sureness >= Sureness.SHAPE and text.isdigit() and len(text) >= 7:
                found.setdefault((kind, text), KnownNumber(kind, digits))
    return tuple(found.values())


def _in_pictures(
    pictures: "Sequence[PictureSurvey]",
) -> Iterator[tuple[Kind, Secret, Sureness]]:
    if not pictures:
        return
    from packets.reading.ocr_glyphs import picture_runs  # noqa: PLC0415 - many hold no picture

    for picture in pictures:
        runs = picture_runs(picture.text)
        yield from _seen(find_on_page(runs, (), EVERY_KIND), _characters(runs))


def _drawn(drawn: "Sequence[DrawnSurvey]") -> tuple[KnownNumber, ...]:
    if not drawn:
        return ()
    from packets.masking.drawn_findings import drawn_learned  # noqa: PLC0415 - most have none

    return tuple(drawn_learned(drawn))


def new_forms(page: PageSurvey, known: Sequence[KnownNumber]) -> bool:
    """Whether a known number shows on the page where the survey saw no number."""
    counted = Counter(number.digits.reveal() for number in page.seen)
    orders = (page.in_lines.reveal(), page.as_drawn.reveal(), page.as_drawn.reveal()[::-1])
    return any(
        _occurrences(order, number.digits.reveal()) > counted[number.digits.reveal()]
        for number in known
        for order in orders
    )


def _occurrences(text: str, wanted: str) -> int:
    count, at = 0, text.find(wanted)
    while at >= 0:
        count, at = count + 1, text.find(wanted, at + 1)
    return count


def _characters(runs: Sequence[GlyphRun]) -> dict[int, str]:
    return {run.first + k: char for run in runs for k, char in enumerate(run.text)}


def _seen(
    matches: Sequence[GlyphMatch], characters: dict[int, str]
) -> Iterator[tuple[Kind, Secret, Sureness]]:
    for match in matches:
        digits = fold("".join(characters[digit[0]] for digit in match.digits)).text
        yield match.kind, Secret(digits), match.sureness

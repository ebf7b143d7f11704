"""Look once at a flattened document: every number on its pages and in its pictures.

The survey is taken with every kind and without known numbers; what a recipe
masks and which numbers are known are applied afterwards, and only a page on
which a known number shows in a form that the survey did not see is read again.
"""

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import pymupdf

from packets.base.errors import Damaged, OverLimit
from packets.base.secret import Secret
from packets.identifiers.digits import fold
from packets.identifiers.kinds import ALL_KINDS, Kind, KnownNumber, MaskPolicy
from packets.identifiers.layout import GlyphMatch, GlyphRun, find_on_page
from packets.identifiers.payload import payload_kind
from packets.identifiers.records import Sureness
from packets.masking.findings import NumberOnPage, numbers_on_page
from packets.reading.barcodes import read_barcodes
from packets.reading.glyphs import clips_with_text, page_glyphs
from packets.reading.ocr import OcrReader
from packets.reading.ocr_glyphs import picture_runs
from packets.reading.pictures import PlacedPicture, grey_pixels, hidden_layers, placed_pictures
from packets.reading.records import Barcode, PictureText

EVERY_KIND = MaskPolicy(kinds=ALL_KINDS)
_NO_DIGITS = re.compile("[^0-9]+")
_SMALLEST_SIDE = 12
"""A picture with a side of fewer pixels than this cannot show nine legible digits."""


@dataclass(frozen=True)
class PictureSurvey:
    """What one stored picture shows."""

    placed: PlacedPicture
    pages: tuple[int, ...]
    """Pages that draw it, from 0."""
    size: tuple[int, int]
    """Width and height in pixels of what was read, lying as the page shows it."""
    text: PictureText
    barcodes: tuple[Barcode, ...]


@dataclass(frozen=True)
class PageSurvey:
    """The digits of one page, in two orders, and what the finder saw without known numbers."""

    in_lines: Secret
    as_drawn: Secret
    seen: tuple[NumberOnPage, ...]


@dataclass(frozen=True)
class Survey:
    """One document, looked at once."""

    pages: tuple[PageSurvey, ...]
    pictures: tuple[PictureSurvey, ...]
    unread: tuple[str, ...]
    """Pictures that could not be decoded, in words with their page."""
    clipping: bool = False
    """Whether text may be used as a clipping path only."""


def survey_document(pdf: bytes, ocr: OcrReader) -> Survey:
    """Survey a flattened document. Raises `Damaged` when it cannot be opened."""
    document = open_for_reading(pdf)
    try:
        clipping = clips_with_text(document)
        pages = tuple(_page(document[k], clipping) for k in range(document.page_count))
        unread: list[str] = []
        pictures = tuple(_pictures(document, ocr, unread))
    finally:
        document.close()
    return Survey(pages, pictures, tuple(unread), clipping)


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
        for picture in survey.pictures:
            runs = picture_runs(picture.text)
            seen.extend(_seen(find_on_page(runs, (), EVERY_KIND), _characters(runs)))
        for kind, digits, sureness in seen:
            text = digits.reveal()
            if sureness >= Sureness.SHAPE and text.isdigit() and len(text) >= 7:
                found.setdefault((kind, text), KnownNumber(kind, digits))
    return tuple(found.values())


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


def _page(page: pymupdf.Page, clipping: bool) -> PageSurvey:
    glyphs = page_glyphs(page, clipping=clipping)
    lines: list[str] = []
    for sheet in glyphs.sheets:
        ordered = sorted(sheet, key=lambda run: (round(run.bottom), run.x0[0]))
        lines.append("".join(run.text for run in ordered))
    seen = numbers_on_page(page, glyphs, (), EVERY_KIND)
    return PageSurvey(Secret(_digits("".join(lines))), Secret(_digits(glyphs.drawn)), seen)


def _digits(text: str) -> str:
    return _NO_DIGITS.sub("", fold(text).text)


def _characters(runs: Sequence[GlyphRun]) -> dict[int, str]:
    return {run.first + k: char for run in runs for k, char in enumerate(run.text)}


def _seen(
    matches: Sequence[GlyphMatch], characters: dict[int, str]
) -> Iterator[tuple[Kind, Secret, Sureness]]:
    for match in matches:
        digits = fold("".join(characters[digit[0]] for digit in match.digits)).text
        yield match.kind, Secret(digits), match.sureness


def _pictures(
    document: pymupdf.Document, ocr: OcrReader, unread: list[str]
) -> Iterator[PictureSurvey]:
    placed: dict[int, tuple[PlacedPicture, list[int]]] = {}
    for number in range(document.page_count):
        page = document[number]
        if not page.get_images():
            continue
        for picture in placed_pictures(page):
            if picture.xref and min(picture.width, picture.height) >= _SMALLEST_SIDE:
                placed.setdefault(picture.xref, (picture, []))[1].append(number)
    for picture, pages in placed.values():
        try:
            layers = (grey_pixels(document, picture), *hidden_layers(document, picture))
        except OverLimit:
            raise
        except (RuntimeError, ValueError):
            unread.append(f"page {pages[0] + 1}: a picture that cannot be decoded")
            continue
        for grey in layers:
            numbers = tuple(dict.fromkeys(pages))
            text = ocr.read(grey)
            yield PictureSurvey(picture, numbers, grey.size, text, read_barcodes(grey))


def barcode_kind(barcode: Barcode, known: Sequence[KnownNumber], policy: MaskPolicy) -> Kind | None:
    """The kind of number that a barcode carries, or None."""
    return payload_kind(barcode.content.reveal(), known, policy)

"""Every picture of a document read once: by OCR and for barcodes."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import pymupdf
from PIL import Image

from packets.base.errors import OurFault, OverLimit
from packets.identifiers.kinds import Kind, KnownNumber, MaskPolicy
from packets.identifiers.payload import payload_kind
from packets.masking.inline_pictures import SMALLEST_SIDE
from packets.masking.unsure_words import unsure_kinds
from packets.reading.barcodes import read_barcodes
from packets.reading.ocr import OcrReader
from packets.reading.pictures import PlacedPicture, grey_pixels, hidden_layers, placed_pictures
from packets.reading.records import Barcode, PictureText


@dataclass(frozen=True)
class PictureSurvey:
    """What one stored picture, or one layer of it, shows."""

    placed: PlacedPicture
    pages: tuple[int, ...]
    """Pages that draw it, from 0."""
    size: tuple[int, int]
    """Width and height in pixels of what was read, lying as the page shows it."""
    text: PictureText
    barcodes: tuple[Barcode, ...]


@dataclass(frozen=True)
class UnreadPlace:
    """Something on a page that could not be read, or not surely enough to call it clean."""

    page: int
    """From 0."""
    what: str
    kind: Kind | None = None
    """The kind of number that its label speaks of; None: it may be anything."""


Placed = dict[int, tuple[PlacedPicture, list[int]]]


def survey_pictures(
    document: pymupdf.Document, reachable: Sequence[frozenset[int]], ocr: OcrReader
) -> tuple[tuple[PictureSurvey, ...], tuple[UnreadPlace, ...]]:
    """Read every picture that the pages lead to (object numbers, page by page)."""
    surveys: list[PictureSurvey] = []
    unread: list[UnreadPlace] = []
    for picture, drawn_on in _placed(document, reachable).values():
        pages = tuple(dict.fromkeys(drawn_on))
        try:
            layers = (grey_pixels(document, picture), *hidden_layers(document, picture))
        except OverLimit:
            raise
        except (RuntimeError, ValueError):
            unread.extend(_on_each(pages, "a picture that cannot be decoded"))
            continue
        for grey in layers:
            survey = _read(picture, pages, grey, ocr)
            if survey is None:
                unread.extend(_on_each(pages, "a picture that could not be read"))
                continue
            surveys.append(survey)
            for kind in unsure_kinds(survey.text):
                what = "a number in a picture that cannot be read surely"
                unread.extend(_on_each(pages, what, kind))
    return tuple(surveys), tuple(dict.fromkeys(unread))


def _on_each(pages: Sequence[int], what: str, kind: Kind | None = None) -> Iterator[UnreadPlace]:
    return (UnreadPlace(page, what, kind) for page in pages)


def _placed(document: pymupdf.Document, reachable: Sequence[frozenset[int]]) -> Placed:
    """By object number: how a picture lies where it is first drawn, and its pages."""
    placed: Placed = {}
    for number, xrefs in enumerate(reachable):
        if not xrefs:
            continue
        page = document[number]
        drawn = {picture.xref: picture for picture in placed_pictures(page) if picture.xref}
        for xref in sorted({*xrefs, *drawn}):
            picture = drawn.get(xref) or _not_drawn(document, page, xref)
            if min(picture.width, picture.height) >= SMALLEST_SIDE:
                placed.setdefault(xref, (picture, []))[1].append(number)
    return placed


def _not_drawn(document: pymupdf.Document, page: pymupdf.Page, xref: int) -> PlacedPicture:
    """A picture that travels with the page though MuPDF does not see it drawn."""
    width, height = (_whole(document.xref_get_key(xref, key)) for key in ("Width", "Height"))
    bound = page.rect * page.derotation_matrix
    return PlacedPicture(xref, width, height, (bound.x0, bound.y0, bound.x1, bound.y1), None)


def _whole(value: tuple[str, str]) -> int:
    return int(value[1]) if value[0] == "int" else SMALLEST_SIDE


def _read(
    picture: PlacedPicture, pages: tuple[int, ...], grey: Image.Image, ocr: OcrReader
) -> PictureSurvey | None:
    try:
        return PictureSurvey(picture, pages, grey.size, ocr.read(grey), read_barcodes(grey))
    except (OurFault, RuntimeError, ValueError):
        return None


def barcode_kind(barcode: Barcode, known: Sequence[KnownNumber], policy: MaskPolicy) -> Kind | None:
    """The kind of number that a barcode carries, or None."""
    return payload_kind(barcode.content.reveal(), known, policy)

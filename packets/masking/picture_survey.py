"""Every picture of a document read once: by OCR and for barcodes."""

import contextlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import pymupdf
from PIL import Image

from packets.base.errors import OurFault, OverLimit
from packets.identifiers.digits import fold
from packets.identifiers.kinds import ALL_KINDS, Kind, KnownNumber, MaskPolicy
from packets.identifiers.labels import labels_in
from packets.identifiers.layout import find_on_page
from packets.identifiers.payload import payload_kind
from packets.masking.inline_pictures import SMALLEST_SIDE
from packets.masking.picture_mosaics import Part, groups_of, put_together
from packets.masking.unsure_words import unsure_kinds
from packets.reading.barcodes import read_barcodes
from packets.reading.faint_ink import faint_layer
from packets.reading.ink_lines_page import DOUBT_PLACES
from packets.reading.ocr import OcrReader
from packets.reading.ocr_glyphs import picture_runs
from packets.reading.pictures import (
    PlacedPicture,
    grey_pixels,
    hidden_layers,
    may_be_broken,
    placed_pictures,
    tones_of,
)
from packets.reading.records import Barcode, PictureText

_EVERY_KIND = MaskPolicy(kinds=ALL_KINDS)


@dataclass(frozen=True)
class PictureSurvey:
    """What a stored picture, one layer of it, or several that lie edge to edge show."""

    parts: tuple[Part, ...]
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
    found = _Found([], [])
    placed, groups = _placed(document, reachable)
    greys: dict[int, Image.Image] = {}
    together: dict[int, set[int]] = {}
    """By object number: pages on which a picture was read together with its neighbours."""
    for page, group in groups:
        greys.update(_decoded_members(document, group))
        mosaic = put_together([(p, greys[p.xref]) for p in group if p.xref in greys])
        if mosaic is None:
            found.unread.append(UnreadPlace(page, "pictures that cannot be put together"))
            continue
        for part in mosaic.parts:
            together.setdefault(part.placed.xref, set()).add(page)
        _take(found, mosaic.parts, (page,), mosaic.grey, ocr)

    def alone(drawn: tuple[PlacedPicture, list[int]]) -> _Found:
        picture, drawn_on = drawn
        pages = tuple(dict.fromkeys(drawn_on))
        in_mosaics = together.get(picture.xref, set()).issuperset(pages)
        return _picture_by_itself(document, picture, pages, ocr, in_mosaics=in_mosaics)

    for each in ocr.shared_out(list(placed.values()), alone):
        found.surveys.extend(each.surveys)
        found.unread.extend(each.unread)
    return tuple(found.surveys), tuple(dict.fromkeys(found.unread))


_UNDECODABLE = (RuntimeError, ValueError, pymupdf.mupdf.FzErrorBase)


@dataclass(frozen=True)
class _Found:
    """What one picture shows, and what of it could not be read."""

    surveys: list[PictureSurvey]
    unread: list[UnreadPlace]


def _picture_by_itself(
    document: pymupdf.Document,
    picture: PlacedPicture,
    pages: tuple[int, ...],
    ocr: OcrReader,
    *,
    in_mosaics: bool,
) -> _Found:
    """Every layer of a picture; `in_mosaics`: what it shows was read with its neighbours."""
    found = _Found([], [])
    try:
        layers: tuple[Image.Image, ...] | None = hidden_layers(document, picture)
        if not in_mosaics:
            layers = (grey_pixels(document, picture), *(layers or ()))
    except OverLimit:
        raise
    except _UNDECODABLE:
        layers = None
    if layers is None or may_be_broken(document, picture, layers[0] if layers else None):
        found.unread.extend(_on_each(pages, "a picture that cannot be decoded"))
        return found
    for grey in layers:
        whole = Part(picture, (0, 0, grey.width, grey.height))
        _take(found, (whole,), pages, grey, ocr)
    if layers:
        tones = tones_of(document, picture, layers[0])
        _take_faint(found, picture, pages, tones, ocr)
    return found


def _decoded_members(
    document: pymupdf.Document, group: Sequence[PlacedPicture]
) -> Iterator[tuple[int, Image.Image]]:
    """Those that decode; the others are named where each picture is read by itself."""
    for picture in group:
        with contextlib.suppress(*_UNDECODABLE):
            yield picture.xref, grey_pixels(document, picture)


def _take(
    found: _Found,
    parts: tuple[Part, ...],
    pages: tuple[int, ...],
    grey: Image.Image,
    ocr: OcrReader,
) -> None:
    """Read one picture and note what it shows, and what in it cannot be called clean."""
    try:
        text = ocr.read_numbers(grey)
        codes = read_barcodes(grey, undecoded=_names_a_number(text))
        survey = PictureSurvey(parts, pages, grey.size, text, codes)
    except (OurFault, RuntimeError, ValueError):
        found.unread.extend(_on_each(pages, "a picture that could not be read"))
        return
    found.surveys.append(survey)
    for doubt in survey.text.doubts:
        found.unread.extend(_on_each(pages, f"in a picture: {doubt}"))
    for kind in unsure_kinds(survey.text):
        found.unread.extend(
            _on_each(pages, "a number in a picture that cannot be read surely", kind)
        )
    if any(_may_hold_number(ocr.read_numbers(part)) for part in ocr.aslant(grey, text)):
        found.unread.extend(_on_each(pages, "in a picture: a number that lies aslant"))


def _take_faint(
    found: _Found,
    picture: PlacedPicture,
    pages: tuple[int, ...],
    tones: Image.Image,
    ocr: OcrReader,
) -> None:
    """Read what grey does not show. A number there holds the page: paint may not cover it."""
    layer = faint_layer(tones)
    if layer is None:
        return
    text = ocr.read_numbers(layer)
    part = Part(picture, (0, 0, layer.width, layer.height))
    found.surveys.append(PictureSurvey((part,), pages, layer.size, text, ()))
    if DOUBT_PLACES in text.doubts or find_on_page(picture_runs(text), (), _EVERY_KIND):
        found.unread.extend(
            _on_each(pages, "in a picture: a number in a colour too near to its paper")
        )


def _may_hold_number(text: PictureText) -> bool:
    return bool(text.doubts or find_on_page(picture_runs(text), (), _EVERY_KIND))


def _names_a_number(text: PictureText) -> bool:
    """Whether a label of a taxpayer's number stands in a picture.

    A code on such a paper that cannot be decoded may say what the label names.
    """
    words = fold(" ".join(word.text for word in text.words)).text
    return any(label.kind is not None for label in labels_in(words))


def _on_each(pages: Sequence[int], what: str, kind: Kind | None = None) -> Iterator[UnreadPlace]:
    return (UnreadPlace(page, what, kind) for page in pages)


def _placed(
    document: pymupdf.Document, reachable: Sequence[frozenset[int]]
) -> tuple[Placed, list[tuple[int, list[PlacedPicture]]]]:
    """By object number: how a picture lies where it is first drawn, and its pages.

    And for each page the groups of pictures that lie edge to edge.
    """
    placed: Placed = {}
    groups: list[tuple[int, list[PlacedPicture]]] = []
    for number, xrefs in enumerate(reachable):
        if not xrefs:
            continue
        page = document[number]
        drawn = [picture for picture in placed_pictures(page) if picture.xref]
        groups.extend((number, group) for group in groups_of(drawn))
        first = {picture.xref: picture for picture in reversed(drawn)}
        for xref in sorted({*xrefs, *first}):
            picture = first.get(xref) or _not_drawn(document, page, xref)
            if min(picture.width, picture.height) >= SMALLEST_SIDE:
                placed.setdefault(xref, (picture, []))[1].append(number)
    return placed, groups


def _not_drawn(document: pymupdf.Document, page: pymupdf.Page, xref: int) -> PlacedPicture:
    """A picture that travels with the page though MuPDF does not see it drawn."""
    width, height = (_whole(document.xref_get_key(xref, key)) for key in ("Width", "Height"))
    bound = page.rect * page.derotation_matrix
    box = bound.x0, bound.y0, bound.x1, bound.y1
    return PlacedPicture(xref, width, height, box, None, tuple(page.rect))


def _whole(value: tuple[str, str]) -> int:
    return int(value[1]) if value[0] == "int" else SMALLEST_SIDE


def barcode_kind(barcode: Barcode, known: Sequence[KnownNumber], policy: MaskPolicy) -> Kind | None:
    """The kind of number that a barcode carries, or may carry where it does not decode."""
    if barcode.content is None:
        return Kind.SSN if policy.masks(Kind.SSN) else None
    return payload_kind(barcode.content.reveal(), known, policy)

"""Mask numbers and barcodes in the pictures of a document, at their own resolution."""

from collections.abc import Sequence
from dataclasses import dataclass

import pikepdf
import pymupdf
from PIL import Image

from packets.base.geometry import Box
from packets.identifiers.kinds import Kind, KnownNumber, MaskPolicy
from packets.identifiers.layout import GlyphMatch, find_on_page
from packets.masking.digit_columns import digit_boxes
from packets.masking.picture_coding import UnknownCoding, put_back, stored_picture
from packets.masking.picture_ink import PixelBox, paint_digits, paint_note
from packets.masking.picture_survey import PictureSurvey, barcode_kind
from packets.masking.records import Masked
from packets.masking.text_state import numbers_of
from packets.reading.ocr_glyphs import picture_runs
from packets.reading.pictures import decoded_by_mupdf, undone

BARCODE_NOTE = "barcode removed"


@dataclass(frozen=True)
class PictureFinding:
    """One number or barcode in one picture; boxes in pixels of the picture as read."""

    kind: Kind
    shown: str
    boxes: tuple[PixelBox, ...]
    barcode: bool = False


def picture_findings(
    survey: PictureSurvey, known: Sequence[KnownNumber], policy: MaskPolicy, *, blank: bool = False
) -> tuple[PictureFinding, ...]:
    """Numbers that OCR or a barcode reader saw in a picture and that the policy masks."""
    symbols = [symbol for word in survey.text.words for symbol in word.symbols]
    findings = []
    for match in find_on_page(picture_runs(survey.text), known, policy):
        going = match.digits if blank else match.hidden
        if not going:
            continue
        boxes = tuple(symbols[number][1:] for digit in going for number in digit)
        findings.append(PictureFinding(match.kind, _shown(match, symbols, policy, blank), boxes))
    for barcode in survey.barcodes:
        kind = barcode_kind(barcode, known, policy)
        if kind is not None:
            xs = [x for x, _ in barcode.corners]
            ys = [y for _, y in barcode.corners]
            box = (min(xs), min(ys), max(xs), max(ys))
            findings.append(PictureFinding(kind, BARCODE_NOTE, (box,), barcode=True))
    return tuple(findings)


def mask_picture(
    pdf: pikepdf.Pdf,
    drawn: pymupdf.Document,
    survey: PictureSurvey,
    findings: Sequence[PictureFinding],
    mask: str,
) -> bool:
    """Paint the findings over in the stored picture and in its mask, whichever shows them.

    `drawn` is the same document open in MuPDF. False when a layer cannot be
    re-coded, or when neither shows anything there.
    """
    image = pdf.get_object(survey.placed.xref, 0)
    if not isinstance(image, pikepdf.Stream) or not _is_meant(image, survey):
        return False
    layers = [image, image.get("/SMask"), image.get("/Mask")]
    painted = False
    for layer in layers:
        if isinstance(layer, pikepdf.Stream):
            try:
                painted |= _paint_layer(layer, drawn, survey, findings, mask)
            except UnknownCoding:
                return False
    return painted


def _is_meant(image: pikepdf.Stream, survey: PictureSurvey) -> bool:
    """Whether both engines mean the same object by this number."""
    width, height = numbers_of([image.get("/Width"), image.get("/Height")])
    return (width, height) == (survey.placed.width, survey.placed.height)


def _paint_layer(
    layer: pikepdf.Stream,
    drawn: pymupdf.Document,
    survey: PictureSurvey,
    findings: Sequence[PictureFinding],
    mask: str,
) -> bool:
    stored = stored_picture(layer, lambda: decoded_by_mupdf(drawn, layer.objgen[0]))
    shown = _as_shown(stored.picture, survey)
    across, down = shown.width / survey.size[0], shown.height / survey.size[1]
    painted = False
    for finding in findings:
        if finding.barcode:
            box = _scaled(_grown(finding.boxes[0], 4), across, down)
            painted |= paint_note(shown, box, finding.shown)
    read = _as_read(shown, survey)
    if survey.text.quarter_turns % 2:
        across, down = down, across
    for finding in findings:
        if not finding.barcode:
            boxes = [_scaled(box, across, down) for box in finding.boxes]
            painted |= paint_digits(read, digit_boxes(read, boxes), mask)
    if painted:
        put_back(layer, stored, _as_stored(read, survey))
    return painted


def _scaled(box: PixelBox, across: float, down: float) -> PixelBox:
    return box[0] * across, box[1] * down, box[2] * across, box[3] * down


def masked_records(survey: PictureSurvey, findings: Sequence[PictureFinding]) -> tuple[Masked, ...]:
    """One record per finding and page; the place is that of the picture on the page."""
    x0, y0, x1, y1 = survey.placed.box
    return tuple(
        Masked(
            finding.kind,
            finding.shown,
            page + 1,
            Box(x0, y0, x1, y1),
            "barcode" if finding.barcode else "picture",
        )
        for page in survey.pages
        for finding in findings
    )


def _shown(
    match: GlyphMatch,
    symbols: Sequence[tuple[str, float, float, float, float]],
    policy: MaskPolicy,
    blank: bool,
) -> str:
    going = match.digits if blank else match.hidden
    gone = {number for digit in going for number in digit}
    mask = " " if blank else policy.glyph
    return "".join(mask if place[0] in gone else symbols[place[0]][0] for place in match.written)


def _as_shown(picture: Image.Image, survey: PictureSurvey) -> Image.Image:
    turn = survey.placed.turn
    return picture.transpose(turn) if turn is not None else picture.copy()


_QUARTER_TURNS = (
    None, Image.Transpose.ROTATE_90, Image.Transpose.ROTATE_180, Image.Transpose.ROTATE_270,
)  # fmt: skip


def _as_read(shown: Image.Image, survey: PictureSurvey) -> Image.Image:
    turn = _QUARTER_TURNS[survey.text.quarter_turns]
    return shown.transpose(turn) if turn is not None else shown


def _as_stored(read: Image.Image, survey: PictureSurvey) -> Image.Image:
    turns = (_QUARTER_TURNS[survey.text.quarter_turns], survey.placed.turn)
    for turn in turns:
        if turn is not None:
            read = read.transpose(undone(turn))
    return read


def _grown(box: PixelBox, by: float) -> PixelBox:
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by

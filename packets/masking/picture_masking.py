"""Mask numbers and barcodes in the pictures of a document, at their own resolution."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import pikepdf
import pymupdf
from PIL import Image

from packets.base.geometry import Box
from packets.identifiers.kinds import Kind, KnownNumber, MaskPolicy
from packets.identifiers.layout import GlyphMatch, find_on_page
from packets.masking.digit_columns import digit_boxes
from packets.masking.picture_coding import UnknownCoding, put_back, stored_picture
from packets.masking.picture_ink import paint_digits, paint_note
from packets.masking.picture_mosaics import Part
from packets.masking.picture_survey import PictureSurvey, barcode_kind
from packets.masking.pixel_boxes import PixelBox, around
from packets.masking.quarter_turns import turned, turned_box, turned_size
from packets.masking.records import Masked
from packets.masking.text_state import numbers_of
from packets.reading.ocr_glyphs import picture_runs
from packets.reading.pictures import PlacedPicture, decoded_by_mupdf, undone

BARCODE_NOTE = "barcode removed"


@dataclass(frozen=True)
class PictureFinding:
    """One number or barcode in one picture; boxes in pixels of the picture as read."""

    kind: Kind
    shown: str
    boxes: tuple[PixelBox, ...]
    barcode: bool = False
    whole: tuple[PixelBox, ...] = ()
    """All that is written of the number, digits that stay and marks between them included."""


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
        whole = tuple(symbols[number][1:] for written in match.written for number in written)
        shown = _shown(match, symbols, policy, blank)
        findings.append(PictureFinding(match.kind, shown, boxes, whole=whole))
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
    """Paint the findings over in the stored pictures and their masks, whichever show them.

    `drawn` is the same document open in MuPDF. False when a layer cannot be
    re-coded, or when none shows anything there.
    """
    unpainted = set(range(len(findings)))
    for part in survey.parts:
        image = pdf.get_object(part.placed.xref, 0)
        if not isinstance(image, pikepdf.Stream) or not _is_meant(image, part):
            return False
        work = _PartWork(survey, part, findings, mask)
        for layer in (image, image.get("/SMask"), image.get("/Mask")):
            if isinstance(layer, pikepdf.Stream):
                try:
                    unpainted -= work.paint(layer, drawn)
                except UnknownCoding:
                    return False
    return not unpainted


def _is_meant(image: pikepdf.Stream, part: Part) -> bool:
    """Whether both engines mean the same object by this number."""
    width, height = numbers_of([image.get("/Width"), image.get("/Height")])
    return (width, height) == (part.placed.width, part.placed.height)


@dataclass(frozen=True)
class _PartWork:
    """The findings in a picture, as far as one of its parts is concerned."""

    survey: PictureSurvey
    part: Part
    findings: Sequence[PictureFinding]
    mask: str

    def paint(self, layer: pikepdf.Stream, drawn: pymupdf.Document) -> set[int]:
        """Paint one layer and put it back if it changed; which findings it showed."""
        wanted = {
            number: [self._in_part(box, finding.barcode) for box in finding.boxes]
            for number, finding in enumerate(self.findings)
        }
        wanted = {number: boxes for number, boxes in wanted.items() if self._meets(boxes)}
        if not wanted:
            return set()
        stored = stored_picture(layer, lambda: decoded_by_mupdf(drawn, layer.objgen[0]))
        turn, turns = self.part.placed.turn, self.survey.text.quarter_turns
        shown = stored.picture.transpose(turn) if turn is not None else stored.picture.copy()
        across, down = shown.width / self._size[0], shown.height / self._size[1]
        read = turned(shown, turns)
        painted = {
            number
            for number, boxes in wanted.items()
            if self._paint_one(
                read,
                self.findings[number],
                [turned_box(_scaled(box, across, down), turns, shown.size) for box in boxes],
            )
        }
        if painted:
            back = turned(read, -turns)
            put_back(layer, stored, back.transpose(undone(turn)) if turn is not None else back)
        return painted

    @property
    def _size(self) -> tuple[float, float]:
        x0, y0, x1, y1 = self.part.box
        return x1 - x0, y1 - y0

    def _in_part(self, box: PixelBox, barcode: bool) -> PixelBox:
        """A box of what was read in pixels of the part as shown; barcodes are so already."""
        if not barcode:
            turns = self.survey.text.quarter_turns
            box = turned_box(box, -turns, turned_size(self.survey.size, turns))
        left, top = self.part.box[:2]
        return box[0] - left, box[1] - top, box[2] - left, box[3] - top

    def _meets(self, boxes: Sequence[PixelBox]) -> bool:
        width, height = self._size
        return any(x0 < width and y0 < height and x1 > 0 and y1 > 0 for x0, y0, x1, y1 in boxes)

    def _paint_one(
        self, read: Image.Image, finding: PictureFinding, boxes: Sequence[PixelBox]
    ) -> bool:
        if finding.barcode:
            return paint_note(read, _grown(boxes[0], 4), finding.shown)
        return paint_digits(read, digit_boxes(read, boxes), self.mask)


def _scaled(box: PixelBox, across: float, down: float) -> PixelBox:
    return box[0] * across, box[1] * down, box[2] * across, box[3] * down


def masked_records(survey: PictureSurvey, findings: Sequence[PictureFinding]) -> tuple[Masked, ...]:
    """One record per finding and page, with the place of the number on the page."""
    return tuple(
        Masked(
            finding.kind,
            finding.shown,
            page + 1,
            _place_on_page(survey, finding),
            "barcode" if finding.barcode else "picture",
        )
        for page in survey.pages
        for finding in findings
    )


def number_places(
    survey: PictureSurvey, findings: Sequence[PictureFinding], placed: Sequence[PlacedPicture]
) -> Iterator[tuple[PictureFinding, Box]]:
    """The numbers among the findings, each wherever a page shows it, whole.

    `placed` are the pictures of that page.
    """
    frames = [around([part.placed.shown for part in survey.parts])]
    if len(survey.parts) == 1:
        xref = survey.parts[0].placed.xref
        frames = [picture.shown for picture in placed if picture.xref == xref] or frames
    for finding in findings:
        if finding.whole:
            boxes = _as_it_lies(survey, finding.whole)
            yield from ((finding, _within(frame, survey, boxes)) for frame in frames)


def _place_on_page(survey: PictureSurvey, finding: PictureFinding) -> Box:
    """Around what was painted, on the first page as shown."""
    frame = around([part.placed.shown for part in survey.parts])
    boxes = finding.boxes if finding.barcode else _as_it_lies(survey, finding.boxes)
    return _within(frame, survey, boxes)


def _as_it_lies(survey: PictureSurvey, boxes: Sequence[PixelBox]) -> list[PixelBox]:
    """Boxes of what was read, in the picture as the page shows it."""
    turns = survey.text.quarter_turns
    size = turned_size(survey.size, turns)
    return [turned_box(box, -turns, size) for box in boxes]


def _within(frame: PixelBox, survey: PictureSurvey, boxes: Sequence[PixelBox]) -> Box:
    """Around pixels of a picture that a page shows in `frame`."""
    x0, y0, x1, y1 = around(boxes)
    across = (frame[2] - frame[0]) / survey.size[0]
    down = (frame[3] - frame[1]) / survey.size[1]
    left, top = frame[0], frame[1]
    return Box(left + x0 * across, top + y0 * down, left + x1 * across, top + y1 * down)


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


def _grown(box: PixelBox, by: float) -> PixelBox:
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by

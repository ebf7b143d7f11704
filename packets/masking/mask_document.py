"""One document through the masking station: mask text and pictures, then rebuild by list."""

import io
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import pikepdf

from packets.base.errors import Damaged
from packets.identifiers.kinds import KnownNumber, MaskPolicy
from packets.masking.findings import TextFinding, findings_of, numbers_on_page
from packets.masking.font_orphans import clear_fonts
from packets.masking.hit_fonts import HitFonts, fonts_hit
from packets.masking.rebuild import rebuilt
from packets.masking.records import Masked, MaskedDocument
from packets.masking.refusals import broken_documents_refused
from packets.masking.slivers import cut_out, faults_of_cut
from packets.masking.survey import Survey, new_forms, open_for_reading, survey_document
from packets.masking.text_masking import mask_text
from packets.reading.glyphs import page_glyphs
from packets.reading.ocr import OcrReader

if TYPE_CHECKING:
    from packets.masking.text_over_pictures import PictureWork


@dataclass(frozen=True)
class MaskOrder:
    """What to do with one flattened document."""

    pdf: bytes
    survey: Survey
    pages: tuple[int, ...]
    """Pages that go into the packet, from 0; the result holds just these, in this order."""
    known: tuple[KnownNumber, ...]
    policy: MaskPolicy | None
    """None: nothing is masked (office and agency copies); the rebuild is made all the same."""
    blank: frozenset[int] = frozenset()
    """Pages, from 0, on which numbers go whole."""


def mask_document(order: MaskOrder, ocr: OcrReader) -> MaskedDocument:
    """Mask and rebuild. Page numbers in the records are those of the source, from 1.

    Places that could not be masked or read come back in `unread`; the caller
    holds the packet for any. Raises `Damaged` or `OverLimit`.
    """
    with broken_documents_refused("this document cannot be taken apart"):
        if order.policy is None:
            return _rebuilt_only(order)
        if not order.survey.drawn:
            return _masked(order, order.policy, false_names=False)
        return _masked_after_drawn(order, order.policy, ocr)


def _masked_after_drawn(order: MaskOrder, policy: MaskPolicy, ocr: OcrReader) -> MaskedDocument:
    """What is drawn and no text is taken out first."""
    from packets.masking.mask_drawn import mask_drawn  # noqa: PLC0415 - most documents have none

    drawn = mask_drawn(order.pdf, order.survey, order.pages, order.known, policy, order.blank)
    if drawn.masks:  # the document was written anew: its pictures have other numbers now
        fresh = survey_document(drawn.pdf, ocr, drawn=False)
        order = replace(order, pdf=drawn.pdf, survey=fresh)
    rest = _masked(order, policy, false_names=drawn.glyphs)
    return replace(rest, masks=(*drawn.masks, *rest.masks), unread=(*drawn.unread, *rest.unread))


def _masked(order: MaskOrder, policy: MaskPolicy, *, false_names: bool) -> MaskedDocument:
    found = _find_text(order, policy)
    in_pictures = _find_in_pictures(order, policy)
    if in_pictures:
        found = _with_text_over(order, policy, in_pictures, found)
    unread: tuple[str, ...] = ()
    with _opened(order.pdf) as document:
        text = mask_text(document, found)
        pictures, unmasked = _mask_pictures(document, order, policy, in_pictures)
        if text.unmet:
            result = _saved(document)
        else:
            hit = fonts_hit(document, order.survey, order.pages, text, every=false_names)
            new = rebuilt(document, order.pages, text.judged)
            unread = clear_fonts(new.document, hit.in_copy(new.fonts))
            result = _saved(new.document)
    if text.unmet:
        wanted = {number: found[number] for number in text.unmet}
        cut = cut_out(result, wanted)
        faults = faults_of_cut(result, cut, wanted)
        unread = (*faults, *_telling(wanted), *_still_there(cut, wanted, order))
        result = cut
        with _opened(result) as document:
            new = rebuilt(document, order.pages)
            hit = HitFonts(all_fonts=True, every=false_names)
            unread = (*unread, *clear_fonts(new.document, hit))
            result = _saved(new.document)
    texts = tuple(
        Masked(finding.kind, finding.shown, number + 1, finding.place)
        for number, findings in found.items()
        for finding in findings
    )
    unread = (*unread, *unmasked, *_not_read(order, policy))
    return MaskedDocument(result, (*texts, *pictures), len(order.pages), unread=unread)


def _rebuilt_only(order: MaskOrder) -> MaskedDocument:
    with _opened(order.pdf) as document:
        return MaskedDocument(_saved(rebuilt(document, order.pages).document), (), len(order.pages))


def _find_text(order: MaskOrder, policy: MaskPolicy) -> dict[int, tuple[TextFinding, ...]]:
    """Findings by page. A page is read again only where a known number shows in a new form."""
    found = {}
    document = open_for_reading(order.pdf)
    try:
        for number in dict.fromkeys(order.pages):
            seen = order.survey.pages[number].seen
            if new_forms(order.survey.pages[number], order.known):
                page = document[number]
                glyphs = page_glyphs(page, clipping=order.survey.clipping)
                seen = numbers_on_page(page, glyphs, order.known, policy)
            blank = number in order.blank
            findings = findings_of(seen, order.known, policy, blank=blank)
            if findings:
                found[number] = findings
    finally:
        document.close()
    return found


def _telling(cut: Mapping[int, Sequence[TextFinding]]) -> Iterator[str]:
    """Cut numbers whose neighbours, left where they were, tell something of the digits."""
    for number, findings in cut.items():
        if any(finding.setting is not None for finding in findings):
            yield f"page {number + 1}: the spacing about a number would tell its digits"


def _still_there(
    pdf: bytes, cut: Mapping[int, Sequence[TextFinding]], order: MaskOrder
) -> Iterator[str]:
    """Numbers that are seen on the cut pages."""
    document = open_for_reading(pdf)
    try:
        for number in cut:
            page = document[number]
            read = page_glyphs(page, clipping=True)
            for seen in numbers_on_page(page, read, order.known, order.policy or MaskPolicy()):
                yield f"page {number + 1}: a number of kind {seen.kind} could not be taken out"
    finally:
        document.close()


def _not_read(order: MaskOrder, policy: MaskPolicy) -> Iterator[str]:
    """Places on the pages that are taken, if what may stand there would have to be masked."""
    for place in order.survey.unread:
        if place.page in order.pages and (place.kind is None or policy.masks(place.kind)):
            yield f"page {place.page + 1}: {place.what}"


def _find_in_pictures(order: MaskOrder, policy: MaskPolicy) -> "tuple[PictureWork, ...]":
    """The pictures of the pages that are taken in which something is to be masked."""
    wanted = set(order.pages)
    pictures = [it for it in order.survey.pictures if not wanted.isdisjoint(it.pages)]
    if not pictures:
        return ()
    from packets.masking.picture_masking import (  # noqa: PLC0415 - many documents hold no picture
        picture_findings,
    )

    work = []
    for picture in pictures:
        blank = any(page in order.blank for page in picture.pages)
        work.append((picture, picture_findings(picture, order.known, policy, blank=blank)))
    return tuple((picture, findings) for picture, findings in work if findings)


def _with_text_over(
    order: MaskOrder,
    policy: MaskPolicy,
    pictures: "Sequence[PictureWork]",
    found: dict[int, tuple[TextFinding, ...]],
) -> dict[int, tuple[TextFinding, ...]]:
    from packets.masking.text_over_pictures import (  # noqa: PLC0415 - many hold no picture
        text_over_pictures,
    )

    document = open_for_reading(order.pdf)
    try:
        return text_over_pictures(
            document, order.pages, pictures, found, policy.glyph, clipping=order.survey.clipping
        )
    finally:
        document.close()


def _mask_pictures(
    document: pikepdf.Pdf,
    order: MaskOrder,
    policy: MaskPolicy,
    pictures: "Sequence[PictureWork]",
) -> tuple[tuple[Masked, ...], tuple[str, ...]]:
    if not pictures:
        return (), ()
    from packets.masking.picture_masking import (  # noqa: PLC0415 - many documents hold no picture
        mask_picture,
        masked_records,
    )

    records: list[Masked] = []
    unmasked: list[str] = []
    drawn = open_for_reading(order.pdf)
    try:
        for picture, findings in pictures:
            blank = any(page in order.blank for page in picture.pages)
            if mask_picture(document, drawn, picture, findings, " " if blank else policy.glyph):
                records.extend(masked_records(picture, findings))
            else:
                where = f"page {picture.pages[0] + 1}"
                unmasked.append(f"{where}: a number in a picture that cannot be re-coded")
    finally:
        drawn.close()
    wanted = set(order.pages)
    used = dict.fromkeys(record for record in records if record.page - 1 in wanted)
    return tuple(used), tuple(unmasked)


def _opened(pdf: bytes) -> pikepdf.Pdf:
    try:
        return pikepdf.open(io.BytesIO(pdf))
    except (pikepdf.PdfError, pikepdf.PasswordError) as error:
        raise Damaged("this document cannot be taken apart") from error


def _saved(document: pikepdf.Pdf) -> bytes:
    """The same bytes for the same document."""
    out = io.BytesIO()
    document.save(out, deterministic_id=True, object_stream_mode=pikepdf.ObjectStreamMode.generate)
    return out.getvalue()

"""Signature images and dates placed where papers ask for them: in fields and on printed lines."""

import datetime as dt
from collections.abc import Mapping, Sequence

from packets.base.canonical import sha256_hex
from packets.base.limits import DEFAULT_LIMITS, Limits
from packets.base.secret import Secret
from packets.reading.ocr import OcrReader
from packets.recipe.model import LineRule, SignRule
from packets.signatures.claims import claims_on
from packets.signatures.desk import Desk, FiguresReader
from packets.signatures.field_lines import FieldLines
from packets.signatures.fields_out import drop_other_descriptions
from packets.signatures.form_fields import widgets_of
from packets.signatures.grants import GrantBook
from packets.signatures.opening import opened, saved
from packets.signatures.page_views import PageViews
from packets.signatures.paper_lines import PaperLines
from packets.signatures.printed_lines import Names
from packets.signatures.records import SignedDocument
from packets.signatures.rule import FormFigures


def nothing_readable(page: int) -> FormFigures | None:  # noqa: ARG001 - a FiguresReader
    """No amount of any page can be read."""
    return None


def sign_document(
    pdf: bytes,
    document_index: int,
    page_categories: Mapping[int, str],
    rules: Sequence[SignRule],
    grants: GrantBook,
    *,
    tax_year: int,
    today: dt.date,
    lines: Sequence[LineRule] = (),
    names: Names | None = None,
    source_sha256: str = "",
    figures: FiguresReader = nothing_readable,
    ocr: OcrReader | None = None,
    printed: Mapping[int, Secret] | None = None,
    limits: Limits = DEFAULT_LIMITS,
) -> SignedDocument:
    """Place signature images where a paper asks for them and a grant allows it.

    `page_categories` gives the category of each page (from 1) that has one. `rules`
    name form fields, `lines` printed lines, which are signed where no field serves;
    where two name one label, the first counts. `names` says whose return it is.
    `source_sha256` is the digest of the file as it lies in the client folder;
    empty means that of `pdf`. `figures` reads the amounts of a page (from 1) where a
    grant is bound to them; unless given, none can be read. `ocr` reads scans; `printed`
    gives the letters of pages that were read before. Where nothing is placed, the bytes
    come back as they came.

    A line that asks and gets nothing is in `missing`, with the reason. Raises
    Damaged or Locked for the document, InputRefused for an image, UsageError for
    a date format that gives no date.
    """
    if not page_categories or not (rules or lines):
        return SignedDocument(pdf, (), ())
    views = PageViews(pdf, ocr, printed or {})
    try:
        with opened(pdf, f"document {document_index + 1}") as document:
            desk = Desk(
                document, views, document_index, grants, tax_year, today,
                source_sha256 or sha256_hex(pdf), figures, limits,
            )  # fmt: skip
            _sign_all(desk, page_categories, rules, lines, names or {})
            if desk.placements:
                drop_other_descriptions(document)
                pdf = saved(document)
    finally:
        views.close()
    return SignedDocument(pdf, tuple(desk.placements), tuple(desk.missing), tuple(desk.already))


def _sign_all(
    desk: Desk,
    categories: Mapping[int, str],
    rules: Sequence[SignRule],
    lines: Sequence[LineRule],
    names: Names,
) -> None:
    """Fields first, then the printed lines that no field serves, then the dates of fields."""
    widgets = list(widgets_of(desk.document))
    paper = PaperLines(desk, categories, lines, names, widgets)
    claims = claims_on(widgets, categories, rules)
    claims += paper.look_through(claims)
    fields = FieldLines(desk)
    for claim in claims:
        if not claim.is_date:
            fields.sign(claim)
    paper.sign(claims)
    for claim in claims:
        if claim.is_date:
            fields.date(claim)

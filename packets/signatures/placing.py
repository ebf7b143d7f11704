"""Signature images and dates placed into the form fields that ask for them."""

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial

import pikepdf

from packets.base.canonical import sha256_hex
from packets.base.errors import UsageError
from packets.base.limits import DEFAULT_LIMITS, Limits
from packets.recipe.model import SignRule
from packets.signatures.appearances import normal_appearance, shows_content
from packets.signatures.artwork import load_artwork
from packets.signatures.authority import STANDING
from packets.signatures.claims import Claim, claims_on
from packets.signatures.drawing import Pen, date_runs, fitted
from packets.signatures.fields_out import drop_other_descriptions, take_out
from packets.signatures.form_fields import Widget, dictionary, text_of, widgets_of
from packets.signatures.grant import Grant
from packets.signatures.grants import GrantBook, Refused
from packets.signatures.opening import opened, saved
from packets.signatures.page_frame import WidgetFrame, page_frame, widget_frame
from packets.signatures.records import (
    AlreadySigned,
    Artwork,
    MissingSignature,
    Placement,
    SignedDocument,
)
from packets.signatures.rule import Asked, FormFigures

LEAST_SIDE = 4.0
"""Points; a box narrower or lower than this shows no signature."""
FiguresReader = Callable[[int], FormFigures | None]
"""The amounts on a page (from 1) in whole dollars; None where they cannot be read."""


def nothing_readable(page: int) -> None:
    """No amount of any page can be read."""


def sign_document(
    pdf: bytes,
    document_index: int,
    page_categories: Mapping[int, str],
    rules: Sequence[SignRule],
    grants: GrantBook,
    *,
    tax_year: int,
    today: dt.date,
    source_sha256: str = "",
    figures: FiguresReader = nothing_readable,
    limits: Limits = DEFAULT_LIMITS,
) -> SignedDocument:
    """Place signature images where a rule asks for them and a grant allows it.

    `page_categories` gives the category of each page (from 1) that has one.
    `source_sha256` is the digest of the file as it lies in the client folder;
    empty means that of `pdf`. `figures` reads the amounts of a page (from 1) where a
    grant is bound to them; unless given, none can be read. Where nothing is placed,
    the bytes come back as they came.

    A field that asks and gets nothing is in `missing`, with the reason. Raises
    Damaged or Locked for the document, InputRefused for an image, UsageError for
    a date format that gives no date.
    """
    if not page_categories or not rules:
        return SignedDocument(pdf, (), ())
    with opened(pdf, f"document {document_index + 1}") as document:
        signing = _Signing(
            document=document,
            index=document_index,
            grants=grants,
            tax_year=tax_year,
            today=today,
            source_sha256=source_sha256 or sha256_hex(pdf),
            figures=figures,
            limits=limits,
        )
        claims = claims_on(list(widgets_of(document)), page_categories, rules)
        for claim in claims:
            if not claim.is_date:
                signing.sign(claim)
        for claim in claims:
            if claim.is_date:
                signing.date(claim)
        placements = tuple(signing.placements)
        if placements:
            drop_other_descriptions(document)
            pdf = saved(document)
    return SignedDocument(pdf, placements, tuple(signing.missing), tuple(signing.already))


@dataclass
class _Signing:
    """The work on one document."""

    document: pikepdf.Pdf
    index: int
    grants: GrantBook
    tax_year: int
    today: dt.date
    source_sha256: str
    figures: FiguresReader
    limits: Limits
    placements: list[Placement] = field(default_factory=list)
    missing: list[MissingSignature] = field(default_factory=list)
    already: list[AlreadySigned] = field(default_factory=list)
    used: dict[tuple[str, str], Grant] = field(default_factory=dict)
    """Grants that placed an image, by role and category."""
    artworks: dict[str, Artwork] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.pen = Pen(self.document)

    def sign(self, claim: Claim) -> None:
        """Place one image, or say why not."""
        widget = claim.widget
        if widget.kind == "Sig" and _is_signature(widget):
            role = claim.rule.role.value
            self.already.append(AlreadySigned(role, self.index, widget.page, widget.name))
            return
        frame = self._room(claim)
        if isinstance(frame, str):
            self._miss(claim, frame)
            return
        grant = self.grants.answer(
            Asked(
                role=claim.rule.role,
                category=claim.category,
                tax_year=self.tax_year,
                today=self.today,
                document_sha256=self.source_sha256,
                figures=partial(self.figures, claim.widget.page),
            )
        )
        if isinstance(grant, Refused):
            self._miss(claim, grant.why)
            return
        artwork = self._artwork(grant)
        part = fitted(artwork, frame)
        if part is None:
            self._miss(claim, "the field is too small for the image")
            return
        self.pen.image(widget.page, artwork, frame, part)
        take_out(self.document, widget.page, widget.annotation)
        self.used[claim.rule.role.value, claim.category] = grant
        page = page_frame(self.document.pages[widget.page - 1])
        self.placements.append(
            Placement(
                role=claim.rule.role.value,
                document=self.index,
                page=widget.page,
                box=page.shown_box(frame.on_page(part)),
                field=widget.name,
                grant=grant.id,
                image_sha256=artwork.sha256,
            )
        )

    def date(self, claim: Claim) -> None:
        """Write the day on which the placed signature was given, or say why not."""
        grant = self.used.get((claim.rule.role.value, claim.category))
        if grant is None:
            return  # the signature itself is missing and was reported
        widget = claim.widget
        if _gives_no_date(grant):
            if not text_of(widget.value).strip():
                self._miss(claim, "a standing grant gives no day: it is left to be written")
            return
        date = _printed(grant, claim.rule)
        if text_of(widget.value).strip() != date:
            frame = self._room(claim)
            written = frame if isinstance(frame, str) else date_runs(widget, frame, date)
            if written is None or isinstance(written, str):
                self._miss(claim, written or "the date does not fit into the field")
                return
            assert isinstance(frame, WidgetFrame)
            self.pen.text(widget.page, frame, *written)
            take_out(self.document, widget.page, widget.annotation)
        self.placements = [
            replace(placed, dated=date)
            if placed.grant == grant.id and placed.page == widget.page
            else placed
            for placed in self.placements
        ]

    def _room(self, claim: Claim) -> WidgetFrame | str:
        """The widget's frame, or in words why nothing may be put there."""
        widget = claim.widget
        page = page_frame(self.document.pages[widget.page - 1])
        frame = widget_frame(widget, page)
        if frame is None:
            return "the field has no place on the page"
        if frame.width < LEAST_SIDE or frame.height < LEAST_SIDE:
            return "the field has no room on the page"
        if not page.shows(frame.area):
            return "the field lies outside the visible page"
        return _not_to_be_filled(claim) or frame

    def _artwork(self, grant: Grant) -> Artwork:
        if grant.image not in self.artworks:
            path = self.grants.image_path(grant)
            self.artworks[grant.image] = load_artwork(path, self.limits)
        return self.artworks[grant.image]

    def _miss(self, claim: Claim, why: str) -> None:
        widget = claim.widget
        role = claim.rule.role.value
        self.missing.append(
            MissingSignature(role, self.index, widget.page, widget.name, why, claim.is_date)
        )


def _not_to_be_filled(claim: Claim) -> str:
    """Why the field itself may not be filled; empty when it may."""
    widget = claim.widget
    if claim.disputed:
        return "rules for two roles name this field"
    if widget.kind not in ("Tx", "Sig"):
        return "this is neither a signature field nor a text field"
    if text_of(widget.value).strip() or shows_content(normal_appearance(widget.annotation)):
        return "the field is filled already, and what stands there is not overwritten"
    if widget.kind == "Sig" and widget.value is not None:
        return "the field holds something that is not a signature"
    return ""


def _is_signature(widget: Widget) -> bool:
    """Whether a signature field holds a signature dictionary with bytes and their range."""
    value = dictionary(widget.value)
    return value is not None and "/Contents" in value and "/ByteRange" in value


def _gives_no_date(grant: Grant) -> bool:
    """Whether a grant stands for a season and not for one document.

    An ERO or preparer allows a facsimile once (Notices 2007-79 and 2004-54); the
    day of that says nothing of the day on which one return was signed, and a day
    that nobody gave is not printed. Bound to a document, a grant gives its day.
    """
    return grant.role in STANDING and not grant.document_sha256


def _printed(grant: Grant, rule: SignRule) -> str:
    """The day the signature was given, where it was given; never the day of the build."""
    try:
        text = grant.given_at.strftime(rule.date_format)
        text.encode("cp1252")
    except ValueError:
        text = ""
    if not text.strip() or len(text) > 40 or not text.isprintable():
        raise UsageError(
            "this date_format gives no date that can be printed",
            where=f"[[sign]] of the {rule.role.value}",
        )
    return text

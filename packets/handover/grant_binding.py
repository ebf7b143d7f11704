"""To what a grant is bound: the document that was signed, and the figures on its Form 8879."""

from dataclasses import dataclass

from packets.base.errors import InputRefused, UsageError
from packets.handover.grant_records import GrantRequest
from packets.intake.take_in import take_in
from packets.reading.engine import quiet_engine
from packets.reading.ocr import OcrReader
from packets.signatures.authority import OWN_HAND
from packets.signatures.form_figures import figures_on_page, pages_with_form
from packets.signatures.grant import Figures


@dataclass(frozen=True)
class Binding:
    """What the new grant says about the document that was signed."""

    document_sha256: str = ""
    figures: Figures | None = None


def binding_of_signed(request: GrantRequest) -> Binding:
    """Digest and figures of the document that was signed; nothing where none is given.

    Figures are read for a taxpayer or spouse, where the document holds Form 8879 or
    8878. Raises UsageError where the binding that was asked for cannot be made, and
    what reading the document raises.
    """
    if request.signed is None:
        if request.page is not None or request.bind != "both":
            raise UsageError(
                "--page and --bind say how to bind to a document, and none is given",
                where="--signed",
                remedy="Give the document that was signed with --signed.",
            )
        return Binding()
    quiet_engine()
    taken = take_in(request.signed)
    if request.signed_sha256 not in ("", taken.sha256):
        raise InputRefused(
            "this document is another one than the signer was shown",
            where=taken.file,
            remedy="Nothing was recorded. Show the document as it is now, and have it signed anew.",
        )
    digest = taken.sha256 if request.bind != "figures" else ""
    if request.bind == "document" or request.role not in OWN_HAND:
        return Binding(digest)
    figures = _figures(taken.pdf, request)
    if figures is None and request.bind == "figures":
        raise UsageError(
            "no figures of Form 8879 can be read for certain there",
            where="--signed",
            remedy="Use --bind document, or name the form's page with --page.",
        )
    return Binding(digest, figures)


def _figures(pdf: bytes, request: GrantRequest) -> Figures | None:
    pages = (request.page,) if request.page is not None else pages_with_form(pdf)
    with OcrReader() as ocr:
        found = [figures for page in pages if (figures := figures_on_page(pdf, ocr, page))]
    if len(found) > 1:
        raise UsageError(
            "more than one page of this document shows the figures of a form to sign",
            where="--signed",
            remedy="Name the page of the form that was signed with --page.",
        )
    return Figures(**found[0]) if found else None

"""What looks like a number and is none, or may stay: the check must let it through."""

import os
from pathlib import Path

import pikepdf
import pytest
from outbound_pages import appended, opened, page_pdf, saved, with_content

from packets.base.secret import Secret
from packets.identifiers.kinds import Kind, KnownNumber, MaskPolicy
from packets.outbound.check import check_pdf
from packets.outbound.records import Judgement, Verdict

KNOWN = (
    KnownNumber(Kind.SSN, Secret("000123456"), "taxpayer", given=True),
    KnownNumber(Kind.EIN, Secret("070000017")),
    KnownNumber(Kind.ACCOUNT, Secret("00012300456")),
)
FORMS = Path(os.environ.get("PACKETS_BLANK_FORMS", Path(__file__).parents[3] / "shared" / "forms"))

HARMLESS = {
    "a labelled routing number": "Routing number 021000021",
    "a routing number after its short label": "RTN: 111000025",
    "a ZIP code with four more": "Springfield, ST 00000-1234",
    "a telephone number": "Telephone (555) 555-0100 or 555-555-0199",
    "an OMB number": "OMB No. 1545-0074",
    "amounts": "Wages 123,456.78 and tax 12,345.67 less 1,234,567.89",
    "dates": "Presented 03/03/2026, due 2026-04-15, received 10 Feb 2026",
    "an invoice number": "Invoice 202600147",
    "a masked SSN with X": "Taxpayer XXX-XX-3456 and spouse XXX-XX-3457",
    "a masked SSN with stars": "Taxpayer ***-**-3456",
    "a masked SSN without dashes": "Taxpayer XXXXX3456",
    "a masked account": "Account XXXXXXX0456",
    "the last four alone": "The number that ends in 3456",
    "an employer's EIN": "Employer 07-0000017",
    "a masked EIN": "Payer XX-XXX0017",
    "a form line": "24 Add lines 22 and 23. This is your total tax . . . . 24 12,345",
    "a submission ID": "Submission ID 00000020260447712345",
}


def judged(data: bytes) -> Verdict:
    return check_pdf(data, name="a.pdf", passphrase=None, known=KNOWN, policy=MaskPolicy())


@pytest.mark.parametrize("what", HARMLESS)
def test_harmless_print_is_clean(what: str) -> None:
    verdict = judged(page_pdf(HARMLESS[what]))
    assert verdict.sightings == ()
    assert verdict.unread == ()


@pytest.mark.parametrize("what", HARMLESS)
def test_harmless_titles_are_clean(what: str) -> None:
    pdf = opened()
    with pdf.open_outline() as outline:
        outline.root.append(pikepdf.OutlineItem(HARMLESS[what], 0))
    assert judged(saved(pdf)).judgement is Judgement.CLEAN


def test_coordinates_with_nine_decimals_are_clean() -> None:
    content = b"".join(
        b"0.%09d 12.%09d m 900 00 2000 20 re 666 12 3457 l S\n" % (i * 7919, 111000025 + i)
        for i in range(2000)
    )
    assert judged(with_content(content)).judgement is Judgement.CLEAN


def test_font_widths_are_clean() -> None:
    widths = b"[ 900 00 1000 666 27 2780 000 33 3333 666 12 3457 ]"
    extra = b"900 0 obj\n<< /Widths " + widths + b" >>\nendobj\n"
    assert judged(appended(page_pdf(), extra)).judgement is Judgement.CLEAN


def test_dates_and_identifiers_of_a_producer_are_clean() -> None:
    pdf = opened()
    pdf.docinfo["/CreationDate"] = "D:20260303123456-05'00'"
    pdf.docinfo["/ModDate"] = "D:20260303123456Z"
    pdf.docinfo["/Producer"] = "Producer 12.345.6789"
    assert judged(saved(pdf)).sightings == ()


def test_an_ein_that_was_given_is_seen() -> None:
    given = (KnownNumber(Kind.EIN, Secret("070000017"), "employer", given=True),)
    verdict = check_pdf(
        page_pdf("Employer 07-0000017"),
        name="a.pdf",
        passphrase=None,
        known=given,
        policy=MaskPolicy(),
    )
    assert verdict.sightings[0].kind == "ein"
    assert ("ein", 1) in [(seen.kind, seen.page) for seen in verdict.sightings]


@pytest.mark.skipif(not FORMS.is_dir(), reason="the blank forms of ../shared/forms are not here")
@pytest.mark.parametrize("form", sorted(path.name for path in FORMS.glob("*.pdf")))
def test_blank_forms_are_clean(form: str, request: pytest.FixtureRequest) -> None:
    if form == "ss-5-2011.pdf":
        # A label governs its whole line, and a paragraph of an XFA template is one line.
        reason = "a postal code far behind a label in its XFA template counts as labelled"
        request.applymarker(pytest.mark.xfail(reason=reason, strict=True))
    verdict = judged((FORMS / form).read_bytes())
    assert verdict.sightings == ()
    assert verdict.unread == ()

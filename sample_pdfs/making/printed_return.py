"""Puts the pages of a printed return together in the order in which a program prints them."""

from making import (
    child_credits,
    form_1040_page_1,
    form_1040_page_2,
    form_8879,
    ohio,
    schedule_b,
    schedule_c,
    schedule_se,
    schedules_1_2,
    voucher,
    worksheets,
)
from making.cases import JOINT, OHIO, SINGLE
from making.numbers import (
    FIRM,
    PELL,
    SINGLE_SIGNING_PIN,
    SPOUSE_SIGNING_PIN,
    TAXPAYER_SIGNING_PIN,
    VENN,
)
from making.pdf_book import PdfBook


def joint_return() -> bytes:
    """The long printed return of the joint filers."""
    s = PdfBook("2025 tax return", FIRM)
    form_8879.form_8879(s, VENN, JOINT, (TAXPAYER_SIGNING_PIN, SPOUSE_SIGNING_PIN))
    voucher.form_1040_v(s, VENN, JOINT)
    form_1040_page_1.first_page(s, VENN, JOINT)
    form_1040_page_2.second_page(s, VENN, JOINT)
    schedules_1_2.schedule_1(s, VENN, JOINT)
    schedules_1_2.schedule_2(s, VENN, JOINT)
    schedule_b.schedule_b(s, VENN, JOINT)
    schedule_c.first_page(s, VENN, JOINT)
    schedule_c.second_page(s, JOINT)
    schedule_se.schedule_se(s, VENN, JOINT)
    child_credits.schedule_8812(s, VENN, JOINT)
    schedule_se.form_8995(s, VENN, JOINT)
    child_credits.form_8867(s, VENN)
    worksheets.qualified_dividends(s, VENN, JOINT)
    worksheets.summary(s, VENN, JOINT, OHIO)
    ohio.state_return(s, VENN, OHIO)
    worksheets.diagnostics(s, VENN)
    return s.finish()


def single_return() -> bytes:
    """The short printed return of the single filer."""
    s = PdfBook("2025 tax return", FIRM)
    form_1040_page_1.first_page(s, PELL, SINGLE)
    form_1040_page_2.second_page(s, PELL, SINGLE)
    return s.finish()


def single_authorization() -> bytes:
    """Form 8879 of the single filer."""
    s = PdfBook("Form 8879", FIRM)
    form_8879.form_8879(s, PELL, SINGLE, (SINGLE_SIGNING_PIN, ""))
    return s.finish()

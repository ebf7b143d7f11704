"""Papers that are no federal forms: letters, consents, state forms, bank papers. All invented."""

from drawn_pages import Draw, Words, body, letter, page_of, prose

W = Words

_CONSENT = (
    "Federal law requires this consent form be provided to you. Unless authorized by law, we "
    "cannot {verb} your tax return information {to}for purposes other than the preparation and "
    "filing of your tax return without your consent."
)
DISCLOSE = _CONSENT.format(verb="disclose", to="to third parties ")
USE = _CONSENT.format(verb="use", to="")


def titled(title: str, *more: Words, size: float = 14.0) -> Draw:
    """A page under one heading, with lines below it."""
    return page_of(W(title, 160, 60, size), *more, *body())


PAPERS: dict[str, tuple[str, Draw]] = {
    "letter": (
        "letter",
        letter(
            "Enclosed is your 2025 Form 1040, U.S. Individual Income Tax Return, with Schedule A, "
            "Itemized Deductions, and Form 8879, IRS e-file Signature Authorization. Your "
            "Virginia Form 760 and Form 1040-V, Payment Voucher, are enclosed too."
        ),
    ),
    "letter about a state return": (
        "letter",
        letter("Your Virginia Resident Individual Income Tax Return is enclosed."),
    ),
    "engagement letter": (
        "engagement-letter",
        letter("This letter confirms the terms of our engagement: we will prepare Form 1040."),
    ),
    "engagement letter by its heading": (
        "engagement-letter",
        page_of(W("Engagement Letter", 200, 80, 16), *prose("We will prepare the return. " * 9)),
    ),
    "consent to disclose": (
        "consent-disclosure",
        page_of(
            W("Consent to Disclosure of Tax Return Information", 100, 80, 14), *prose(DISCLOSE)
        ),
    ),
    "consent to disclose without a heading": ("consent-disclosure", page_of(*prose(DISCLOSE))),
    "consent to use": (
        "consent-use",
        page_of(W("Consent to Use of Tax Return Information", 100, 80, 14), *prose(USE)),
    ),
    "invoice": (
        "invoice",
        page_of(
            W("INVOICE", 450, 60, 20),
            W("Bill to: Pat Sample", 60, 120),
            W("Preparation of Form 1040 and Schedule C", 60, 200),
            W("Amount due $500.00", 400, 400),
        ),
    ),
    "worksheet to a schedule": (
        "worksheet",
        titled("Schedule C Worksheet", W("Keep for your records", 450, 60)),
    ),
    "worksheet with a title's words": (
        "worksheet",
        titled("Earned Income Credit Worksheet - Line 27"),
    ),
    "diagnostics": ("diagnostic", titled("Return Diagnostics")),
    "organizer": ("organizer", titled("2025 Tax Organizer")),
    "bank product": ("bank-product", titled("Refund Transfer Application and Agreement")),
    "driver license": (
        "identity",
        page_of(
            W("DRIVER LICENSE", 200, 60, 16), W("DOB 01/01/1980", 60, 100), W("SEX M", 60, 140)
        ),
    ),
    "social security card": (
        "identity",
        page_of(W("THIS NUMBER HAS BEEN ESTABLISHED FOR", 100, 150, 10), W("PAT", 100, 180)),
    ),
    "voided check": (
        "bank-check",
        page_of(W("VOID", 300, 100, 40), W("PAY TO THE ORDER OF", 60, 120), W("MEMO", 60, 180)),
    ),
    "bank statement": (
        "bank-statement",
        titled("Account Statement", W("Beginning balance", 60, 150), W("Ending balance", 60, 165)),
    ),
    "receipt": (
        "receipt",
        page_of(
            W("Donation Receipt", 200, 60, 16),
            *prose("Received from Pat Sample. No goods or services were provided in exchange."),
        ),
    ),
    "consolidated statement": (
        "1099-consolidated",
        titled(
            "2025 Consolidated Form 1099",
            W("Form 1099-DIV Dividends and Distributions", 40, 120, 10),
            W("Form 1099-INT Interest Income", 40, 150, 10),
        ),
    ),
    "refund statement of a state": (
        "1099-g",
        page_of(
            W("State of California", 60, 40),
            W("Employment Development Department", 60, 52),
            W("Form 1099-G", 420, 60, 12),
            W("Certain Government Payments", 420, 80, 12),
            *body(),
        ),
    ),
}

STATES: dict[str, tuple[str, Draw]] = {
    "VA": (
        "state-return",
        page_of(
            W("2025 VIRGINIA", 60, 40, 12),
            W("Form 760", 60, 56, 12),
            W("Resident Individual Income Tax Return", 200, 56, 14),
            *body(),
        ),
    ),
    "CA": (
        "state-return",
        page_of(
            W("TAXABLE YEAR 2025", 36, 40, 12),
            W("California Resident Income Tax Return", 190, 40, 14),
            W("FORM 540", 520, 40, 14),
            *body(),
        ),
    ),
    "NY": (
        "state-return",
        page_of(
            W("Department of Taxation and Finance", 160, 40, 8),
            W("2025 Resident Income Tax Return", 160, 56, 14),
            W("New York State - New York City - Yonkers - MCTMT", 160, 70, 8),
            W("IT-201", 540, 50, 18),
            *body(),
        ),
    ),
    "WV": (
        "state-return",
        page_of(
            W("WEST VIRGINIA PERSONAL INCOME TAX RETURN", 100, 40, 14),
            W("2025", 500, 40, 14),
            *body(),
        ),
    ),
    "DC": (
        "state-return",
        page_of(
            W("Government of the District of Columbia", 100, 40, 10),
            W("2025 D-40 Individual Income Tax Return", 100, 56, 14),
            *body(),
        ),
    ),
    "IL": (
        "state-return",
        page_of(
            W("Illinois Department of Revenue", 60, 40, 10),
            W("2025 Form IL-1040", 60, 56, 14),
            *body(),
        ),
    ),
    "NC": (
        "voucher-state",
        page_of(
            W("North Carolina Department of Revenue", 60, 40, 10),
            W("D-400V Individual Income Payment Voucher 2025", 60, 56, 14),
            *body(),
        ),
    ),
}

"""What a recorded grant allows. Each rule names where it comes from; none of it is legal advice."""

import datetime as dt
from collections.abc import Iterable
from typing import Protocol

from packets.recipe.model import Role

BANK_PRODUCTS = (
    "bank-product*",
    "consent-bank*",
    "consent-refund*",
    "refund-advance*",
    "refund-settlement*",
    "refund-transfer*",
)
"""Papers of tax refund-related products. Common practice, and the separate written consent of
26 CFR 301.7216-3(a): they are signed for themselves and never under a general grant."""
AUTHORIZATIONS = ("form-8878*", "form-8879*")
"""IRS e-file signature authorizations."""
DECLARED_AFTER_THE_YEAR = (*AUTHORIZATIONS, "form-1040", "form-1040-sr", "form-1040-nr")
"""Signed under penalties of perjury by one who has seen the finished return (Form 8879, Part II;
Publication 1345), which no one has before the year is over."""
OWN_HAND = (Role.TAXPAYER, Role.SPOUSE)
STANDING = (Role.ERO, Role.PREPARER)
"""Who may allow an image once for a season (Notices 2007-79 and 2004-54)."""


class Granted(Protocol):
    """The facts of a grant that the rules look at."""

    @property
    def role(self) -> Role: ...
    @property
    def how(self) -> str: ...
    @property
    def covers(self) -> tuple[str, ...]: ...
    @property
    def given_at(self) -> dt.datetime: ...
    @property
    def valid_until(self) -> dt.date: ...
    @property
    def identity_check(self) -> str: ...
    @property
    def document_sha256(self) -> str: ...


def name_matches(pattern: str, name: str) -> bool:
    """Whether `name` is `pattern`, where each `*` stands for any run of characters.

    Linear in practice whatever the pattern: no backtracking beyond the last star.
    """
    head, *rest = pattern.split("*")
    if not rest:
        return name == pattern
    *middle, tail = rest
    if not name.startswith(head) or not name.endswith(tail) or len(name) < len(head) + len(tail):
        return False
    at, end = len(head), len(name) - len(tail)
    for piece in middle:
        found = name.find(piece, at, end)
        if found < 0:
            return False
        at = found + len(piece)
    return True


def any_matches(patterns: Iterable[str], name: str) -> bool:
    """Whether one of the patterns matches."""
    return any(name_matches(pattern, name) for pattern in patterns)


def is_bank_product(category: str) -> bool:
    """Whether a category is a paper of a refund-related bank product."""
    return any_matches(BANK_PRODUCTS, category)


def refusal(
    grant: Granted, *, category: str, tax_year: int, today: dt.date, document_sha256: str
) -> str:
    """Why this grant does not allow its image here today; empty when it does.

    `today` is the day on which the image is placed. The day that is printed
    beside it is always the day the signature was given.
    """
    return (
        _not_covered(grant, category)
        or _not_today(grant, today)
        or _not_this_year(grant, category, tax_year)
        or _not_this_way(grant, category)
        or _not_this_file(grant, document_sha256)
    )


def _not_covered(grant: Granted, category: str) -> str:
    if is_bank_product(category):
        if category in grant.covers:
            return ""
        return f"does not name {category}, and a bank product must be named in full"
    return "" if any_matches(grant.covers, category) else f"does not cover {category}"


def _not_today(grant: Granted, today: dt.date) -> str:
    # The office's own offset is unknown here, so the moment counts as reached on its
    # earliest date anywhere: a client abroad may sign on what is still the office's yesterday.
    earliest = grant.given_at.astimezone(dt.timezone(-dt.timedelta(hours=12))).date()
    if today < earliest:
        return f"is dated {grant.given_at.date()}, which has not come yet"
    return f"ended on {grant.valid_until}" if today > grant.valid_until else ""


def _not_this_year(grant: Granted, category: str, tax_year: int) -> str:
    if grant.role not in OWN_HAND:
        return ""
    given = grant.given_at.date()
    if given.year < tax_year:
        return f"was given on {given}, before tax year {tax_year} began"
    if given.year == tax_year and any_matches(DECLARED_AFTER_THE_YEAR, category):
        return f"was given on {given}, before a return for {tax_year} could be seen"
    return ""


def _not_this_way(grant: Granted, category: str) -> str:
    if grant.how == "stamp":
        if grant.role is Role.ERO:
            # Notice 2007-79 lets an ERO use a facsimile on Forms 8878 and 8879.
            covered = any_matches(AUTHORIZATIONS, category)
            return "" if covered else "is a stamp, which an ERO may use on Forms 8878 and 8879 only"
        # Notice 2004-54 lets a paid preparer sign returns and extensions the same way.
        if grant.role is not Role.PREPARER:
            return "is a stamp, and only an ERO or a preparer may sign by stamp"
    if grant.how == "remote" and not grant.identity_check.strip():
        # Publication 1345: identity is verified at every remote signing.
        return "was given remotely without a recorded identity check"
    return ""


def _not_this_file(grant: Granted, document_sha256: str) -> str:
    # A changed form needs a new signature (Publication 1345), so an image may be
    # bound to the very file that its owner saw.
    if grant.document_sha256 and grant.document_sha256 != document_sha256:
        return "was given for another version of this file"
    return ""

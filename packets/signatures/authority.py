"""Which papers and which signers the rules of signing speak of. None of it is legal advice."""

from collections.abc import Iterable

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

"""Rules about what a grant reaches: whose line, which paper, which day."""

import datetime as dt

from packets.signatures.authority import (
    DECLARED_AFTER_THE_YEAR,
    OWN_HAND,
    any_matches,
    is_bank_product,
)
from packets.signatures.grant import Grant
from packets.signatures.rule import Asked, Rule


def _withdrawn(grant: Grant, asked: Asked) -> str:  # noqa: ARG001 - asked like every rule
    if grant.withdrawn_at is None:
        return ""
    return f"was withdrawn on {grant.withdrawn_at.date()}"


def _other_signer(grant: Grant, asked: Asked) -> str:
    if grant.role is asked.role:
        return ""
    return f"is the {grant.role.value}'s, and this line asks for the {asked.role.value}"


def _not_covered(grant: Grant, asked: Asked) -> str:
    if is_bank_product(asked.category) or any_matches(grant.covers, asked.category):
        return ""
    return f"does not cover {asked.category}"


def _bank_product_not_named(grant: Grant, asked: Asked) -> str:
    if not is_bank_product(asked.category) or asked.category in grant.covers:
        return ""
    return f"does not name {asked.category}, and a bank product must be named in full"


def _not_these_days(grant: Grant, asked: Asked) -> str:
    # The office's own offset is unknown here, so the moment counts as reached on its
    # earliest date anywhere: a client abroad may sign on what is still the office's yesterday.
    earliest = grant.given_at.astimezone(dt.timezone(-dt.timedelta(hours=12))).date()
    if asked.today < earliest:
        return f"is dated {grant.given_at.date()}, which has not come yet"
    return f"ended on {grant.valid_until}" if asked.today > grant.valid_until else ""


def _not_this_year(grant: Grant, asked: Asked) -> str:
    if grant.role not in OWN_HAND:
        return ""
    given = grant.given_at.date()
    if given.year < asked.tax_year:
        return f"was given on {given}, before tax year {asked.tax_year} began"
    if given.year == asked.tax_year and any_matches(DECLARED_AFTER_THE_YEAR, asked.category):
        return f"was given on {given}, before a return for {asked.tax_year} could be seen"
    return ""


SIGNER = Rule("signer of the line", "Pub. 1345, each signer identified separately", _other_signer)
RULES = (
    Rule("withdrawn", "IRM 10.10.1, intent to sign", _withdrawn),
    SIGNER,
    Rule("papers covered", "IRM 10.10.1, intent to sign this record", _not_covered),
    Rule(
        "bank product named",
        "26 CFR 301.7216-3(a), IRS Tax Refund-Related Products; common practice",
        _bank_product_not_named,
    ),
    Rule("days of the grant", "IRM 10.10.1, signature tied to the record", _not_these_days),
    Rule(
        "return seen before signing",
        "Pub. 1345; Form 8879, Part II",
        _not_this_year,
    ),
)

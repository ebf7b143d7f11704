"""Whether a signature would be of use, asked before anybody draws it."""

import datetime as dt

from packets.base.errors import UsageError
from packets.signatures.authority import any_matches
from packets.signatures.grant import Grant
from packets.signatures.rule import Asked
from packets.signatures.rules import RULES

STRICTEST = ("form-8879", "form-8878")
"""Papers that a pattern with `*` may cover and that ask for more than others."""


def demand_usable(grant: Grant, tax_year: int) -> None:
    """Raise UsageError where a rule would refuse this grant on a paper that it covers."""
    named = [category for category in grant.covers if "*" not in category]
    met = [category for category in STRICTEST if any_matches(grant.covers, category)]
    for category in dict.fromkeys((*named, *met)):
        asked = Asked(
            role=grant.role,
            category=category,
            tax_year=tax_year,
            today=max(grant.given_at.date(), dt.date.today()),
            document_sha256=grant.document_sha256,
        )
        for rule in RULES:
            words = rule.broken(grant, asked)
            if words:
                raise UsageError(
                    f"the signature could not stand on {category}: its grant {words} "
                    f"[{rule.name}: {rule.source}]",
                    where="this command",
                    remedy="Nobody was asked to sign. Give the options that the rule asks for.",
                )

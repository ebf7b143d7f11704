"""Rules about signatures: who must sign where, with no line claimed by two people."""

from collections.abc import Iterator, Sequence
from itertools import combinations

from packets.recipe.draft import (
    DraftSignRule,
    PlacedText,
    TomlTable,
    draft_parts,
    draft_sign_rules,
)
from packets.recipe.key_faults import KeyFault, dotted
from packets.recipe.patterns import overlap


def check_signing(recipe: TomlTable) -> Iterator[KeyFault]:
    """`signed_by` without a rule that says where, and fields that two roles would sign."""
    rules = draft_sign_rules(recipe)
    for part in draft_parts(recipe):
        for role in part.signed_by:
            if not any(rule.role == role.text and _meet(rule.on, part.take) for rule in rules):
                yield KeyFault(
                    role.at,
                    "no [[sign]] rule says where this role signs in what this part takes",
                )
    for one, other in combinations(rules, 2):
        if one.role != other.role and _meet(one.on, other.on):
            yield from _claimed_twice(one, other)


def _claimed_twice(one: DraftSignRule, other: DraftSignRule) -> Iterator[KeyFault]:
    for field in other.fields:
        if any(overlap(field.text, claimed.text) for claimed in one.fields):
            yield KeyFault(
                field.at,
                f"{dotted(one.at)} gives the same field to another role; one line, one signer",
            )


def _meet(some: Sequence[PlacedText], others: Sequence[PlacedText]) -> bool:
    return any(overlap(one.text, other.text) for one in some for other in others)

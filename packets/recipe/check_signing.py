"""Rules about signatures: who must sign where, with no line claimed by two people."""

from collections.abc import Collection, Iterator, Sequence
from itertools import combinations

from packets.recipe.draft import (
    DraftSignRule,
    PlacedText,
    TomlTable,
    draft_parts,
    draft_places,
    draft_sign_rules,
)
from packets.recipe.key_faults import KeyFault, dotted
from packets.recipe.patterns import overlap

KnownLines = Collection[tuple[str, str]]
"""Role and category of each printed line that the house knows by itself."""


def check_signing(recipe: TomlTable, known: KnownLines = ()) -> Iterator[KeyFault]:
    """`signed_by` without a place that is known, and fields that two roles would sign."""
    rules = draft_sign_rules(recipe)
    places = draft_places(recipe)
    for part in draft_parts(recipe):
        for role in part.signed_by:
            printed = any(
                role.text == other and any(overlap(take.text, on) for take in part.take)
                for other, on in known
            )
            if not printed and not any(
                place.role == role.text and _meet(place.on, part.take) for place in places
            ):
                yield KeyFault(
                    role.at,
                    "no [[sign]] or [[line]] says where this role signs in what this part takes",
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

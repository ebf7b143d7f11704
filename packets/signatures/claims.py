"""Which rule of the recipe claims which widget."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from packets.recipe.model import SignRule
from packets.signatures.authority import any_matches, name_matches
from packets.signatures.form_fields import Widget


@dataclass(frozen=True)
class Claim:
    """A widget that a rule names, on a page of a category the rule is for."""

    widget: Widget
    rule: SignRule
    category: str
    is_date: bool
    disputed: bool = False
    """True when rules of two roles name it equally well: then it gets nothing."""


def claims_on(
    widgets: Sequence[Widget], categories: Mapping[int, str], rules: Sequence[SignRule]
) -> list[Claim]:
    """One claim for each widget that any rule names, in page order.

    A full name written out beats a pattern. Hidden widgets ask for nothing.
    """
    found: list[Claim] = []
    for widget in widgets:
        category = categories.get(widget.page)
        if category is None or not widget.shown:
            continue
        ranked = [
            (rank, rule, is_date)
            for rule in rules
            if any_matches(rule.on, category)
            for is_date, patterns in ((False, rule.fields), (True, rule.date_fields))
            if (rank := _rank(widget, patterns))
        ]
        if not ranked:
            continue
        best = max(rank for rank, _, _ in ranked)
        winners = [(rule, is_date) for rank, rule, is_date in ranked if rank == best]
        rule, is_date = winners[0]
        disputed = any(other.role is not rule.role for other, _ in winners)
        found.append(Claim(widget, rule, category, is_date, disputed))
    return found


def _rank(widget: Widget, patterns: Sequence[str]) -> int:
    """0 no match, 1 by a pattern, 2 by the last part of the name, 3 by the full name."""
    best = 0
    for pattern in patterns:
        if pattern == widget.name:
            return 3
        if pattern == widget.last_name:
            best = max(best, 2)
        elif name_matches(pattern, widget.name) or name_matches(pattern, widget.last_name):
            best = max(best, 1)
    return best

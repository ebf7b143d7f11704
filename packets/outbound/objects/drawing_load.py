"""How often forms inside forms would be drawn: a small file can ask for more than a lifetime.

Ten forms, each drawing the next one ten times, are ten thousand million
drawings. PDFium would do them all, so they are counted before it sees them.
"""

import re

from packets.base.errors import OverLimit
from packets.outbound.objects.opened import InflationAllowance, OpenedFile
from packets.outbound.objects.values import FileObject, Ref, Value

_DO = re.compile(
    rb"/([^\x00\t\n\x0c\r ()<>\[\]{}/%]{1,200}+)[\x00\t\n\x0c\r ]{1,20}+Do(?![A-Za-z])"
)
_MOST_DRAWINGS = 100_000
_HEAVY = 100
"""Drawings in one form from which on it matters how often pages draw it."""
_CIRCLE = 0

Calls = dict[int, dict[int, int]]
"""For each form the forms that it draws, and how often."""


def check_drawing_load(opened: OpenedFile, allowance: InflationAllowance) -> None:
    """Raise OverLimit where forms drawn by forms multiply beyond what can be looked at."""
    forms = {
        found.number: found
        for found in opened.objects
        if found.raw is not None and found.entries.get("Subtype") == "Form"
    }
    by_name = _by_name(opened, forms)
    calls = {
        number: _calls(opened, form, forms, by_name, allowance) for number, form in forms.items()
    }
    weights: dict[int, int] = {}
    for number in calls:
        _weigh(number, calls, weights)
    heaviest = max(weights.values(), default=0)
    if heaviest > _HEAVY:
        others = [
            found
            for found in opened.objects
            if found.raw is not None and found.entries.get("Subtype") not in ("Form", "Image")
        ]
        draws = (len(_DO.findall(opened.decode(found, allowance).data)) for found in others)
        heaviest *= max(1, sum(draws))
    if heaviest > _MOST_DRAWINGS:
        raise OverLimit("forms inside forms that multiply beyond what can be drawn")


def _by_name(opened: OpenedFile, forms: dict[int, FileObject]) -> dict[str, set[int]]:
    """Forms by every name that any resources give them: for forms without their own."""
    names: dict[str, set[int]] = {}
    for found in opened.objects:
        for holder in (found.entries, opened.resolved(found.entries.get("Resources"))):
            for name, number in _named(opened, holder, forms).items():
                names.setdefault(name, set()).add(number)
    return names


def _named(opened: OpenedFile, holder: Value, forms: dict[int, FileObject]) -> dict[str, int]:
    drawn = opened.resolved(holder.get("XObject")) if isinstance(holder, dict) else None
    if not isinstance(drawn, dict):
        return {}
    return {
        name: target.number
        for name, target in drawn.items()
        if isinstance(target, Ref) and target.number in forms
    }


def _calls(
    opened: OpenedFile,
    form: FileObject,
    forms: dict[int, FileObject],
    by_name: dict[str, set[int]],
    allowance: InflationAllowance,
) -> dict[int, int]:
    own = opened.resolved(form.entries.get("Resources"))
    targets = by_name
    if isinstance(own, dict):
        targets = {name: {number} for name, number in _named(opened, own, forms).items()}
    if not targets:
        return {}
    counts: dict[int, int] = {}
    for match in _DO.finditer(opened.decode(form, allowance).data):
        for number in targets.get(match[1].decode("latin-1"), ()):
            counts[number] = counts.get(number, 0) + 1
    return counts


def _weigh(start: int, calls: Calls, weights: dict[int, int]) -> None:
    """Drawings that each form reached from `start` stands for; without recursion."""
    waiting = [start]
    begun: set[int] = set()
    while waiting:
        number = waiting[-1]
        if number in weights:
            waiting.pop()
            continue
        missing = [other for other in calls[number] if other not in weights and other not in begun]
        begun.add(number)
        if missing:
            waiting += missing
            continue
        waiting.pop()
        drawn = sum(weights.get(other, _CIRCLE) * times for other, times in calls[number].items())
        weights[number] = min(1 + drawn, 10 * _MOST_DRAWINGS)

"""Pages that draw with patterns and soft masks, which PDFium does not hand out as shapes.

What a tiling pattern or the group of a soft mask draws (ISO 32000-2, 8.7.3,
11.6.5.2) is seen on the page, and is none of its objects. Where it is more than
a few lines, the pages that lead to it are read as pixels.
"""

import re
from collections.abc import Iterator

from packets.base.errors import OverLimit
from packets.outbound.objects.opened import InflationAllowance, OpenedFile
from packets.outbound.objects.page_tree import page_numbers
from packets.outbound.objects.values import FileObject, Ref, Value, dictionaries_in

_SEGMENT = re.compile(rb"[0-9.]\s+(?:[lcvy]|re)(?=\s)|\bBI\b")
_MANY_SEGMENTS = 24
_MOST_BYTES = 4 * 1024 * 1024
_MOST_STEPS = 2_000_000


def pages_drawn_aside(
    opened: OpenedFile, pages: int, allowance: InflationAllowance
) -> frozenset[int]:
    """Numbers of the pages, of so many, whose patterns or soft masks may show a number."""
    busy = {found.number for found in _aside(opened) if _draws_much(opened, found, allowance)}
    if not busy:
        return frozenset()
    numbers = page_numbers(opened)
    if len(numbers) != pages:  # the tree is not what PDFium takes it for
        return frozenset(range(1, pages + 1))
    steps = [_MOST_STEPS]
    return frozenset(
        at
        for at, number in enumerate(numbers, start=1)
        if not busy.isdisjoint(_reached(opened, number, steps)) or steps[0] <= 0
    )


def _aside(opened: OpenedFile) -> Iterator[FileObject]:
    """Tiling patterns, and the groups of soft masks."""
    for found in opened.objects:
        if found.entries.get("PatternType") == 1:
            yield found
        for value in dictionaries_in(found.value):
            group = value.get("G") if value.get("S") in ("Luminosity", "Alpha") else None
            if isinstance(group, Ref) and group.number in opened.latest:
                yield opened.latest[group.number]


def _draws_much(opened: OpenedFile, found: FileObject, allowance: InflationAllowance) -> bool:
    """Whether it draws as many lines as a number has, or draws other things in its turn."""
    if found.raw is None:
        return False
    try:
        data = opened.decode(found, allowance).data
    except OverLimit:
        return True
    if len(data) > _MOST_BYTES or b"Do" in data:
        return True
    return sum(1 for _ in _SEGMENT.finditer(data)) >= _MANY_SEGMENTS


def _reached(opened: OpenedFile, page: int, steps: list[int]) -> set[int]:
    """Numbers of the objects that a page leads to, its tree apart."""
    reached = {page}
    waiting: list[Value] = [
        value for key, value in opened.latest[page].entries.items() if key != "Parent"
    ]
    waiting += _inherited(opened, page)
    while waiting and steps[0] > 0:
        steps[0] -= 1
        value = waiting.pop()
        if isinstance(value, Ref):
            target = opened.latest.get(value.number)
            if target is None or value.number in reached:
                continue
            if target.entries.get("Type") in ("Page", "Pages"):
                continue
            reached.add(value.number)
            waiting.append(target.value)
        elif isinstance(value, list):
            waiting += value
        elif isinstance(value, dict):
            waiting += value.values()
    return reached


def _inherited(opened: OpenedFile, page: int) -> Iterator[Value]:
    """The resources of the nodes above a page."""
    seen: set[int] = set()
    above = opened.latest[page].entries.get("Parent")
    while isinstance(above, Ref) and above.number not in seen and above.number in opened.latest:
        seen.add(above.number)
        node = opened.latest[above.number].entries
        yield node.get("Resources")
        above = node.get("Parent")

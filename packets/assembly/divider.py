"""The divider sheet before each part: its heading and a list of its documents."""

from collections.abc import Callable
from dataclasses import dataclass

from packets.assembly.contents import (
    CONTINUED_ROOM,
    CONTINUED_TOP,
    Entry,
    FlowedSheets,
    draw_list,
    flow,
    list_heading,
)
from packets.assembly.lettering import Lettering
from packets.assembly.records import BoundPart
from packets.assembly.sheets import SheetWriter
from packets.assembly.typesetting import BOTTOM, LEFT, RIGHT, SMALL, TITLE, Type, broken_lines

_LABEL = 560.0
"""Baseline of `Part 2 of 4`."""


@dataclass(frozen=True)
class DividerLayout:
    """Where everything on a divider stands, before any page number is known."""

    heading: tuple[str, ...]
    heading_type: Type
    list_top: float
    documents: FlowedSheets

    @property
    def sheets(self) -> int:
        return len(self.documents)


def lay_out_divider(part: BoundPart, at: int, lettering: Lettering) -> DividerLayout:
    """Break heading and list into lines and sheets; `at` is the part's index from 0."""
    kind = TITLE.fit_for(part.heading)
    heading = broken_lines(part.heading, kind, RIGHT - LEFT, lettering)
    list_top = _LABEL - 4 - len(heading) * TITLE.leading - 34
    entries = tuple(
        Entry(document.title, (at, number), is_part=False)
        for number, document in enumerate(part.documents)
    )
    documents = flow(entries, lettering, first_room=list_top - BOTTOM, next_room=CONTINUED_ROOM)
    return DividerLayout(heading, kind, list_top, documents)


def draw_divider(
    writer: SheetWriter,
    layout: DividerLayout,
    place: tuple[int, int],
    page_of: Callable[[tuple[int, int | None]], int],
) -> None:
    """Draw the divider of part `place[0]` (from 0) of `place[1]`, with its continuations."""
    part, parts = place
    first, *following = layout.documents
    writer.begin_sheet()
    writer.text(LEFT, _LABEL, f"Part {part + 1} of {parts}", SMALL)
    y = _LABEL - 4
    for line in layout.heading:
        y -= TITLE.leading
        writer.text(LEFT, y, line, layout.heading_type)
    writer.rule(LEFT, RIGHT, y - 16)
    draw_list(writer, first, layout.list_top, page_of)
    for sheet in following:
        writer.begin_sheet()
        list_heading(writer, CONTINUED_TOP + 2, f"Part {part + 1}, continued")
        draw_list(writer, sheet, CONTINUED_TOP - 4, page_of)

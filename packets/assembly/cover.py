"""The cover sheet: what this is, for whom, what is in it, and what to mind."""

from collections.abc import Callable
from dataclasses import dataclass

from packets.assembly.contents import (
    CONTINUED_ROOM,
    CONTINUED_TOP,
    STEP,
    Entry,
    FlowedSheets,
    draw_list,
    flow,
    list_heading,
)
from packets.assembly.lettering import Lettering
from packets.assembly.records import Binding
from packets.assembly.sheets import SheetWriter
from packets.assembly.signing_record import RECORD
from packets.assembly.typesetting import (
    BOTTOM,
    HOUSEHOLD,
    LEFT,
    LONG_TITLE,
    NARROW,
    NOTE,
    NOTE_HEADING,
    RIGHT,
    SECTION,
    SMALL,
    TITLE,
    Type,
    broken_lines,
)
from packets.assembly.wording import notes_for

_HEAD = 728.0
"""Baseline of the small line at the top."""


@dataclass(frozen=True)
class CoverLayout:
    """Where everything on the cover stands, before any page number is known."""

    title: tuple[str, ...]
    title_type: Type
    household: tuple[str, ...]
    household_type: Type
    body_top: float
    """Below the second rule, in points from the lower edge."""
    contents: FlowedSheets

    @property
    def sheets(self) -> int:
        return len(self.contents)


def lay_out_cover(binding: Binding, lettering: Lettering) -> CoverLayout:
    """Break the title and the contents into lines and sheets."""
    title_type = TITLE.fit_for(binding.title)
    title = broken_lines(binding.title, title_type, RIGHT - LEFT, lettering)
    if len(title) > 2:
        title_type = LONG_TITLE.fit_for(binding.title)
        title = broken_lines(binding.title, title_type, RIGHT - LEFT, lettering)
    addressed = f"For {binding.household}" if binding.household else ""
    household_type = HOUSEHOLD.fit_for(addressed)
    household = broken_lines(addressed, household_type, RIGHT - LEFT, lettering)
    household = household if addressed else ()
    body_top = _HEAD - 14 - len(title) * title_type.leading - 8
    body_top -= len(household) * HOUSEHOLD.leading + 16
    contents = flow(
        _entries(binding),
        lettering,
        first_room=body_top - 20 - SECTION.leading - BOTTOM,
        next_room=CONTINUED_ROOM,
    )
    return CoverLayout(title, title_type, household, household_type, body_top, contents)


def _entries(binding: Binding) -> tuple[Entry, ...]:
    record = Entry(RECORD, (len(binding.parts), None), is_part=True)
    return (*_parts(binding), *((record,) if binding.record else ()))


def _parts(binding: Binding) -> tuple[Entry, ...]:
    return tuple(
        entry
        for at, part in enumerate(binding.parts)
        for entry in (
            Entry(part.heading, (at, None), is_part=True),
            *(
                Entry(document.title, (at, number), is_part=False, indent=STEP)
                for number, document in enumerate(part.documents)
            ),
        )
    )


def draw_cover(
    writer: SheetWriter,
    binding: Binding,
    layout: CoverLayout,
    page_of: Callable[[tuple[int, int | None]], int],
    total: int,
) -> None:
    """Draw the cover and its continuation sheets."""
    first, *following = layout.contents
    writer.begin_sheet()
    _draw_head(writer, binding, total)
    y = _HEAD - 14
    for line in layout.title:
        y -= layout.title_type.leading
        writer.text(LEFT, y, line, layout.title_type)
    y -= 8
    for line in layout.household:
        y -= HOUSEHOLD.leading
        writer.text(LEFT, y, line, layout.household_type)
    writer.rule(LEFT, RIGHT, layout.body_top)
    _draw_notes(writer, binding, layout.body_top - 20)
    list_heading(writer, layout.body_top - 20 - NOTE.leading + 2, "Contents")
    draw_list(writer, first, layout.body_top - 20 - SECTION.leading, page_of)
    for sheet in following:
        writer.begin_sheet()
        _draw_head(writer, binding, total)
        list_heading(writer, CONTINUED_TOP + 2, "Contents, continued")
        draw_list(writer, sheet, CONTINUED_TOP - 4, page_of)


def _draw_head(writer: SheetWriter, binding: Binding, total: int) -> None:
    pages = "1 page" if total == 1 else f"{total} pages"
    writer.text(LEFT, _HEAD, f"Tax year {binding.tax_year}", SMALL)
    reference = (
        f"Our reference {binding.engagement_id}, {pages}" if binding.engagement_id else pages
    )
    writer.text(RIGHT, _HEAD, reference, SMALL.fit_for(reference), flush_right=True)
    writer.rule(LEFT, RIGHT, _HEAD - 8)


def _draw_notes(writer: SheetWriter, binding: Binding, top: float) -> None:
    y = top
    for note in notes_for(binding):
        y -= NOTE_HEADING.leading
        writer.text(LEFT, y, note.heading, NOTE_HEADING)
        for line in broken_lines(note.text, NOTE, NARROW, writer.lettering):
            y -= NOTE.leading
            writer.text(LEFT, y, line, NOTE)
        y -= 8

"""Lists of titles with dotted leaders and page numbers, flowed over as many sheets as they need."""

from collections.abc import Callable
from dataclasses import dataclass

from packets.assembly.lettering import Lettering
from packets.assembly.sheets import SheetWriter
from packets.assembly.typesetting import (
    BOTTOM,
    COLUMN,
    ENTRY,
    PART_ENTRY,
    RIGHT,
    SECTION,
    Type,
    broken_lines,
    text_width,
)

_NUMBER_ROOM = 40.0
"""Kept free at the right for the page number and a piece of leader, so that where lines
break never depends on the numbers, which depend on how many sheets the lines fill."""
STEP = 12.0
"""One step of indentation, in points."""
_PART_GAP = 7.0


@dataclass(frozen=True)
class Entry:
    """One title to list. `place` says whose page number it shows."""

    title: str
    place: tuple[int, int | None]
    """Part from 0 and document from 0; no document for the part itself."""
    is_part: bool
    indent: float = 0.0
    """Of its first line, in points; the others go a step further in."""


@dataclass(frozen=True)
class ListedEntry:
    """An entry broken into lines."""

    entry: Entry
    lines: tuple[str, ...]
    type: Type

    @property
    def gap(self) -> float:
        """Space above it, unless it stands first on a sheet."""
        return _PART_GAP if self.entry.is_part else 0.0

    @property
    def height(self) -> float:
        return len(self.lines) * self.type.leading


FlowedSheets = tuple[tuple[ListedEntry, ...], ...]


def flow(
    entries: tuple[Entry, ...], lettering: Lettering, *, first_room: float, next_room: float
) -> FlowedSheets:
    """Break entries into lines and lines into sheets; a part never stands last on a sheet.

    `first_room` and `next_room` are heights in points.
    """
    listed = [_listed(entry, lettering) for entry in entries]
    sheets: list[list[ListedEntry]] = [[]]
    room = first_room
    for entry, following in zip(listed, [*listed[1:], None], strict=True):
        needed = entry.height + (entry.gap if sheets[-1] else 0.0)
        together = following.height if entry.entry.is_part and following else 0.0
        if needed + together > room and (sheets[-1] or room < next_room):
            sheets.append([])
            room, needed = next_room, entry.height
        sheets[-1].append(entry)
        room -= needed
    return tuple(tuple(sheet) for sheet in sheets)


def _listed(entry: Entry, lettering: Lettering) -> ListedEntry:
    kind = (PART_ENTRY if entry.is_part else ENTRY).fit_for(entry.title)
    room = RIGHT - COLUMN - entry.indent - STEP - _NUMBER_ROOM
    return ListedEntry(entry, broken_lines(entry.title, kind, room, lettering), kind)


def draw_list(
    writer: SheetWriter,
    listed: tuple[ListedEntry, ...],
    top: float,
    page_of: Callable[[tuple[int, int | None]], int],
) -> None:
    """Print entries downward; `top` is where the first line's box begins."""
    y = top
    for at, entry in enumerate(listed):
        if at:
            y -= entry.gap
        above = y
        for number, line in enumerate(entry.lines):
            y -= entry.type.leading
            x = COLUMN + entry.entry.indent + (STEP if number else 0.0)
            writer.text(x, y, line, entry.type)
        end = x + text_width(entry.lines[-1], entry.type, writer.lettering)
        page = page_of(entry.entry.place)
        written = str(page)
        starts = RIGHT - text_width(written, ENTRY, writer.lettering)
        writer.leader(end + 5, starts - 5, y)
        writer.text(RIGHT, y, written, ENTRY, flush_right=True)
        writer.link((COLUMN, y - 3.5, RIGHT, above - 3.5), page)


def list_heading(writer: SheetWriter, y: float, words: str) -> None:
    """The bold line above a list."""
    writer.text(COLUMN, y, words, SECTION)


CONTINUED_TOP = 688.0
"""Where the list begins on a continuation sheet."""
CONTINUED_ROOM = CONTINUED_TOP - BOTTOM

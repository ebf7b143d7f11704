"""The signing record: who allowed which signature, how, by what evidence, and where it stands."""

from collections.abc import Iterator
from dataclasses import dataclass

from packets.assembly.lettering import Lettering
from packets.assembly.records import RecordEntry
from packets.assembly.sheets import SheetWriter
from packets.assembly.typesetting import (
    BOTTOM,
    LEFT,
    NOTE,
    NOTE_HEADING,
    RIGHT,
    SECTION,
    TITLE,
    Type,
    broken_lines,
    text_width,
)

RECORD = "Signing record"
EXPLAINED = (
    "A signature image stands only where a recorded grant covers the paper, the person and"
    " the day. The manifest beside this file lists the same places. Digests are SHA-256."
)
_WORDS = LEFT + 104.0
"""Left edge of the words; the names of the facts stand before it."""
_TOP = 716.0
"""Where the first line's box begins on each sheet."""
_GAP = 9.0


@dataclass(frozen=True)
class _Line:
    """One printed line: a name at the left, words beside it, or a heading over both."""

    words: str
    type: Type
    x: float = LEFT
    """Where the words begin, in points from the left edge."""
    name: str = ""
    gap: float = 0.0
    """Space above it, unless it stands first on a sheet."""
    pages: tuple[int, ...] = ()
    """Bound pages, from 0, whose packet numbers follow the words."""
    keep: bool = False
    """Whether it may not stand last on a sheet."""


RecordSheets = tuple[tuple[_Line, ...], ...]


def lay_out_record(entries: tuple[RecordEntry, ...], lettering: Lettering) -> RecordSheets:
    """Break the entries into lines and sheets, before any page number is known."""
    lines = [_Line(RECORD, TITLE, keep=True)]
    lines += [
        _Line(part, NOTE, gap=0.0 if number else _GAP)
        for number, part in enumerate(broken_lines(EXPLAINED, NOTE, RIGHT - LEFT, lettering))
    ]
    for entry in entries:
        lines += _entry_lines(entry, lettering)
    sheets: list[list[_Line]] = [[]]
    room = _TOP - BOTTOM
    for at, line in enumerate(lines):
        height = line.type.leading + (line.gap if sheets[-1] else 0.0)
        below = lines[at + 1].type.leading if line.keep and at + 1 < len(lines) else 0.0
        if height + below > room and sheets[-1]:
            sheets.append([])
            room, height = _TOP - BOTTOM, line.type.leading
        sheets[-1].append(line)
        room -= height
    return tuple(tuple(sheet) for sheet in sheets)


def _entry_lines(entry: RecordEntry, lettering: Lettering) -> Iterator[_Line]:
    kind = SECTION.fit_for(entry.heading)
    for number, part in enumerate(broken_lines(entry.heading, kind, RIGHT - LEFT, lettering)):
        yield _Line(part, kind, gap=0.0 if number else _GAP, keep=True)
    for name, words in entry.facts:
        yield from _fact_lines(name, words, lettering)
    # As many page numbers as fit a line whatever they are, so that the number of sheets
    # does not hang on them.
    for start in range(0, len(entry.pages), 12):
        name = "" if start else "Stands on pages"
        yield _Line("", NOTE, _WORDS, name, pages=entry.pages[start : start + 12])


def _fact_lines(name: str, words: str, lettering: Lettering) -> Iterator[_Line]:
    kind = NOTE.fit_for(words)
    for number, part in enumerate(broken_lines(words, kind, RIGHT - _WORDS, lettering)):
        yield _Line(part, kind, _WORDS, "" if number else name)


def draw_record(writer: SheetWriter, sheets: RecordSheets, bound: tuple[int, ...]) -> None:
    """Draw the record. `bound` gives the packet page number of every bound page, in order."""
    for sheet in sheets:
        writer.begin_sheet()
        y = _TOP
        for at, line in enumerate(sheet):
            y -= line.type.leading + (line.gap if at else 0.0)
            if line.name:
                writer.text(LEFT, y, line.name, NOTE_HEADING.fit_for(line.name))
            _draw_words(writer, line, y, bound)


def _draw_words(writer: SheetWriter, line: _Line, y: float, bound: tuple[int, ...]) -> None:
    x = line.x
    if line.words:
        writer.text(x, y, line.words, line.type)
    for place in line.pages:
        number = str(bound[place])
        width = text_width(number, NOTE, writer.lettering)
        writer.text(x, y, number, NOTE)
        writer.link((x - 2, y - 3, x + width + 2, y + 9), bound[place])
        x += 32

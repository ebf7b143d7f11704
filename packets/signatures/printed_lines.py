"""The printed lines of a page that ask for a signature, with their rooms and dates."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from packets.base.geometry import Box
from packets.recipe.check_lines import label_letters
from packets.recipe.model import LineRule, Role
from packets.signatures.authority import any_matches
from packets.signatures.label_search import Label, find_labels, heights_of
from packets.signatures.line_rooms import (
    Room,
    Spot,
    expected_box,
    find_bare_room,
    find_room,
)
from packets.signatures.page_letters import Reading
from packets.signatures.upright import Upright

if TYPE_CHECKING:
    from packets.signatures.page_look import Look

SAME_LINE = 4.0
"""Points by which the feet of a signature's and a date's label may differ."""
DATE_REACH = 2.2
"""Lengths of the line within which its date stands to the right."""

Names = Mapping[Role, str]
"""Whose return it is: the taxpayer's name, and the spouse's where there is one."""


@dataclass(frozen=True)
class Sought:
    """A label of a line, with all the places in which forms have its line."""

    role: Role | None
    """None where the page does not say whose paper it is."""
    label: Label
    date_label: Label | None
    rules: tuple[tuple[LineRule, float], ...]
    """The rules that name this label and role, each with the scale at which it is printed."""
    upright: Upright
    by_ocr: bool

    def expected(self) -> Iterator[Box]:
        """Where the line may be, going by the offsets alone."""
        for rule, scale in self.rules:
            yield expected_box(self.label, _spot(rule), scale)

    def expected_dates(self) -> Iterator[Box]:
        """Where its date may be."""
        for rule, scale in self.rules:
            if self.date_label is not None:
                yield expected_box(self.date_label, _date_spot(rule), scale)


@dataclass(frozen=True)
class PrintedLine:
    """A line that was found, or the reason why it cannot be used."""

    role: Role | None
    words: str
    """Its label."""
    room: Room
    date: Room | None
    date_format: str
    upright: Upright
    disputed: bool = False
    """True where the labels of two roles stand at this line."""


def seek(
    readings: Sequence[Reading], category: str, rules: Sequence[LineRule], names: Names
) -> Iterator[Sought]:
    """Every label on a page of this category beside which one of the rules has a line."""
    fitting = [rule for rule in rules if any_matches(rule.on, category)]
    for reading in readings:
        found: dict[tuple[int, int], list[tuple[LineRule, Label]]] = {}
        for rule in fitting:
            for label in find_labels(reading, rule.labels):
                if _in_place(label, reading, rule):
                    hits = found.setdefault((round(label.x0), round(label.foot)), [])
                    # The first rule says who signs beside a label.
                    if not hits or hits[0][0].role is rule.role:
                        hits.append((rule, label))
        for hits in found.values():
            yield _sought(_role(hits[0][0], reading, names), hits, reading)


def _sought(role: Role | None, hits: Sequence[tuple[LineRule, Label]], reading: Reading) -> Sought:
    label = max((label for _, label in hits), key=lambda label: label.x1)
    rules = tuple((rule, label.scale(rule.type)) for rule, label in hits)
    length = max(rule.room[0] * scale for rule, scale in rules)
    words = {word for rule, _ in rules for word in rule.date_labels}
    dates = [
        date
        for date in find_labels(reading, words)
        if abs(date.foot - label.foot) <= max(SAME_LINE, 0.6 * label.size)
        and label.x1 < date.x0 <= label.x0 + DATE_REACH * max(length, label.x1 - label.x0)
    ]
    date = min(dates, key=lambda date: date.x0, default=None)
    return Sought(role, label, date, rules, reading.upright, reading.by_ocr)


def line_at(sought: Sought, look: "Look") -> PrintedLine | None:
    """The line of a label, where the page has one as one of its rules says.

    Without a printed rule only the text of the page is believed, and only where a
    date is asked for on the same line and the room is blank.
    """
    for rule, scale in sought.rules:
        room = find_room(look, sought.label, _spot(rule), scale, _end(sought, rule))
        if room is not None:
            return _line(sought, look, rule, scale, room)
    if sought.by_ocr or sought.date_label is None:
        return None
    for rule, scale in sought.rules:
        room = find_bare_room(look, sought.label, _spot(rule), scale, _end(sought, rule))
        if room is not None:
            return _line(sought, look, rule, scale, room)
    return None


def _line(sought: Sought, look: "Look", rule: LineRule, scale: float, room: Room) -> PrintedLine:
    date = None
    if sought.date_label is not None:
        spot = _date_spot(rule)
        end = sought.upright.width
        date = find_room(look, sought.date_label, spot, scale, end) or find_bare_room(
            look, sought.date_label, spot, scale, end
        )
    words = sought.label.words
    return PrintedLine(sought.role, words, room, date, rule.date_format, sought.upright)


def _end(sought: Sought, rule: LineRule) -> float:
    """How far right the line may go: not into its date."""
    if sought.date_label is None:
        return sought.upright.width
    return sought.date_label.x0 - (2.0 if rule.side == "right" else 4.0)


def _spot(rule: LineRule) -> Spot:
    return Spot(rule.side, rule.at, rule.room)


def _date_spot(rule: LineRule) -> Spot:
    return Spot(rule.side, rule.date_at, rule.date_room)


def _in_place(label: Label, reading: Reading, rule: LineRule) -> bool:
    """Whether the words that must stand above and below the label do."""
    above = not rule.after or any(foot < label.foot for foot in heights_of(reading, rule.after))
    below = not rule.before or any(foot > label.foot for foot in heights_of(reading, rule.before))
    return above and below


def _role(rule: LineRule, reading: Reading, names: Names) -> Role | None:
    """Who is asked; on a paper of one person, told by the name that stands highest."""
    if not rule.by_name or not names.get(Role.SPOUSE):
        return rule.role
    heights = {
        role: min(_heights_of_name(reading, name), default=None) for role, name in names.items()
    }
    taxpayer, spouse = heights.get(Role.TAXPAYER), heights.get(Role.SPOUSE)
    if (taxpayer is None and spouse is None) or taxpayer == spouse:
        return None
    if spouse is None or (taxpayer is not None and taxpayer < spouse):
        return rule.role
    return {Role.TAXPAYER: Role.SPOUSE, Role.SPOUSE: Role.TAXPAYER}.get(rule.role, rule.role)


def _heights_of_name(reading: Reading, name: str) -> Iterator[float]:
    """Where the first and the last part of a name stand in one row."""
    parts = [label_letters(part) for part in name.split()]
    known = [part for part in parts if len(part) > 1]
    for row in reading.rows:
        letters = label_letters("".join(letter.text for letter in row))
        if known and known[0] in letters and known[-1] in letters:
            yield row[0].foot

"""The room of a line: from its label, the offsets of its form, and the rule that is printed there.

The offsets say where to look. The rule, the borders of its box and the print around
it say how far the room really goes.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from packets.base.geometry import Box
from packets.recipe.model import Points
from packets.signatures.label_search import Label

if TYPE_CHECKING:
    from packets.signatures.page_look import Look

LEAST_HEIGHT = 6.0
"""Points of height under which nothing is written."""
LEAST_LENGTH = 0.4
"""Share of the expected length that a rule must have."""
CLEAR_OF_RULE = 0.4
"""Points between a rule and what rests on it."""
ALIGNED = 5.0
"""Points between the left ends of a line and of the label under it."""
FREE = 0.6
"""Share of the expected height that must be free: with less, something stands there."""
TIGHT = 6.0
"""Points between a line and the label that hangs under it."""


@dataclass(frozen=True)
class Spot:
    """Where a form has a line, seen from a label."""

    side: str
    at: Points
    room: Points


@dataclass(frozen=True)
class Room:
    """The free space over a line, on the upright page; its lower edge is where ink rests."""

    box: Box
    ruled: bool
    """Whether a rule is printed there."""
    taken: bool = False
    """Whether something stands on the line already."""


def expected_box(label: Label, spot: Spot, scale: float) -> Box:
    """Where the form has the room, going by its offsets alone."""
    x0 = (label.x1 if spot.side == "right" else label.x0) + spot.at[0] * scale
    foot = label.foot + spot.at[1] * scale
    return Box(x0, foot - spot.room[1] * scale, x0 + spot.room[0] * scale, foot)


def find_room(look: "Look", label: Label, spot: Spot, scale: float, end: float) -> Room | None:
    """The room of a line that a rule marks; None where none is printed as it must be.

    It goes no further right than `end`.
    """
    expected = expected_box(label, spot, scale)
    x1 = min(expected.x1 + 0.25 * expected.width, end)
    least = LEAST_LENGTH * (min(expected.x1, end) - expected.x0)
    if least <= 0:
        return None
    rule = _rule(look, label, spot, expected, x1, least)
    if rule is None:
        return None
    foot = rule.y0 - CLEAR_OF_RULE
    x0 = max(expected.x0, rule.x0)
    x1 = min(x1, rule.x1)
    border = look.border_right_of(x0 + 8 * scale, x1, foot - 0.7 * expected.height, foot)
    if border is not None:
        x1 = border
    box = Box(x0, foot - expected.height, x1 - 1, foot)
    if box.width < least:
        return None
    return _with_height(look, box, label, spot)


def find_bare_room(look: "Look", label: Label, spot: Spot, scale: float, end: float) -> Room | None:
    """The room by the offsets alone, where nothing at all is printed in it."""
    box = expected_box(label, spot, scale)
    box = Box(box.x0, box.y0, min(box.x1, end), box.y1)
    if box.width <= 0 or not look.blank(box):
        return None
    return Room(box, ruled=False)


def _with_height(look: "Look", box: Box, label: Label, spot: Spot) -> Room:
    """The same as high as it is free, and taken where that is too low."""
    most = box.height * 1.15
    if spot.side == "below":
        most = min(box.height * 1.6, box.y1 - label.foot - 0.3 * label.size)
    free = look.free_above(box.x0 + 0.7, box.x1 - 0.7, box.y1, most)
    taken = free < max(LEAST_HEIGHT, FREE * min(most, box.height))
    height = min(most, box.height) if taken else free
    return Room(Box(box.x0, box.y1 - height, box.x1, box.y1), ruled=True, taken=taken)


def _rule(
    look: "Look", label: Label, spot: Spot, expected: Box, x1: float, least: float
) -> Box | None:
    slack = max(4.0, 0.45 * abs(expected.y1 - label.foot))
    area = Box(label.x0 - 14, expected.y1 - slack, x1, expected.y1 + slack)
    if spot.side == "right":
        area = Box(expected.x0 - 8, area.y0, area.x1, area.y1)
    if spot.side == "below":
        area = Box(area.x0, max(area.y0, label.foot + LEAST_HEIGHT), area.x1, area.y1)
    rules = look.rules(area, least)
    match spot.side:
        case "above":
            rules = [rule for rule in rules if _hangs_under(look, label, rule)]
        case "below":
            hanging = Box(label.x0 - 14, label.top - TIGHT, x1, label.foot)
            if any(_hangs_under(look, label, rule) for rule in look.rules(hanging, least)):
                return None
            # A line that begins further right belongs to a label beside it.
            rules = [rule for rule in rules if rule.x0 <= label.x0 + ALIGNED]
    return min(rules, key=lambda rule: abs(rule.y0 - expected.y1), default=None)


def _hangs_under(look: "Look", label: Label, rule: Box) -> bool:
    """Whether a label stands under the line it belongs to, and not in a box below that rule."""
    if abs(rule.x0 - label.x0) > ALIGNED or rule.y1 > label.foot:
        return False
    return look.border_right_of(rule.x0 - 2, label.x0, rule.y1 + 1, label.foot) is None

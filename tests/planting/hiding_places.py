"""What a hiding place is: a maker of a small PDF, and how the number in it is told."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

TOLD_BY = ("text", "objects", "pixels", "bars", "stored pictures")
"""The sorts of readers that a place can be shown to leak to; see `outside_readers`."""


@dataclass(frozen=True)
class HidingPlace:
    """One real construct of PDF in which the planted number can travel."""

    name: str
    make: Callable[[], bytes]
    told_by: str = "text"
    """The sort of reader that recovers the number before it is masked."""
    known: bool = True
    """Whether masking is told the number; without, it must find it by itself."""
    times: int = 1
    may_hold: bool = False
    """Whether a packet that is held (something stays unread) is as good an end."""
    alike: bool = True
    """Whether the page must look the same outside the masks."""
    leak: str = ""
    """Why this place is still open, if it is."""


Registry = dict[str, HidingPlace]


def family(prefix: str, cases: Mapping[str, object], **settings: object) -> Registry:
    """Places that share how they are told; a case is a maker, or the finished PDF."""
    places = {}
    for name, case in cases.items():
        make = case if callable(case) else (lambda case=case: case)
        place = HidingPlace(f"{prefix}: {name}", make)
        places[place.name] = replace(place, **settings)
    return places

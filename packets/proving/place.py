"""A place in a file where a number can hide, with the maker that hides one there."""

from collections.abc import Callable
from dataclasses import dataclass

from packets.proving.copies import Copy
from packets.proving.records import Told


@dataclass(frozen=True)
class Place:
    """One place in a file where a number can hide."""

    family: str
    name: str
    plant: Callable[[Copy, str], None]
    """Puts the number, as it is written, into the copy."""
    told: Told = Told.UNKNOWN
    bare: bool = False
    """Written as nine digits in a row; else 3-2-4 with hyphens."""
    unread: bool = False
    """Whether it is enough that the check says that it cannot read this."""

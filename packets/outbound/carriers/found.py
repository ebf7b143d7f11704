"""What the readers of carriers hand on, one thing after the other; and how much they may unpack."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from packets.base.errors import OverLimit


class Sort(Enum):
    """How a text is to be hunted in."""

    SHOWN = "shown to a person: bare runs count too"
    HIDDEN = "shown by no page: a bare run may be anything"
    JOINED = "run together over what parted it: known numbers and dashed shapes count"
    DIGITS = "bare digits: only known numbers count"


@dataclass(frozen=True)
class Text:
    """A text to hunt in, and where it stands, in words."""

    place: str
    words: str
    sort: Sort = Sort.SHOWN


@dataclass(frozen=True)
class Part:
    """A file inside a file."""

    name: str
    """As it is written there; it may be anything, a number too."""
    data: bytes
    is_guess: bool = False
    """A run of letters that may be a file in Base64, or just a long word."""
    charset: str = ""
    """The character set that a mail declares for it; empty where nothing does."""


@dataclass(frozen=True)
class Unread:
    """A place that could not be read, in words that hold nothing of the file."""

    words: str


Found = Text | Part | Unread
Finding = Iterator[Found]

MOST_DEPTH = 8
"""Files inside files. README.md states the same figures."""
MOST_PARTS = 10_000
MOST_PART_BYTES = 256 * 1024 * 1024
MOST_TEXT_BYTES = 64 * 1024 * 1024
"""A text is held in memory several times over while it is read."""
MOST_BYTES = 1024 * 1024 * 1024


class Budget:
    """What may still be unpacked out of one file, all its depths together."""

    def __init__(
        self,
        total: int = MOST_BYTES,
        each: int = MOST_PART_BYTES,
        parts: int = MOST_PARTS,
        depth: int = MOST_DEPTH,
        text: int = MOST_TEXT_BYTES,
    ) -> None:
        self._left = total
        self._each = each
        self._parts = parts
        self.depth = depth
        self.text = text

    @property
    def next_part(self) -> int:
        """How many bytes the next part may have."""
        return min(self._each, self._left)

    def take(self, size: int) -> None:
        """Count one part of `size` bytes. Raises OverLimit."""
        self._parts -= 1
        if self._parts < 0:
            raise OverLimit("more files inside than this program promises to read")
        if size > self.next_part:
            raise OverLimit("it unpacks to more than this program promises to read")
        self._left -= size

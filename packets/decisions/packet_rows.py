"""Rows of a case: what the packet is made of, what was read in it, what was decided about it."""

from dataclasses import dataclass


@dataclass(frozen=True)
class PartRow:
    """One part of the packet."""

    heading: str
    first_page: int
    pages: int


@dataclass(frozen=True)
class LeftOutPages:
    """Pages of one source that stay out, with one reason."""

    file: str
    pages: tuple[int, ...]
    why: str


@dataclass(frozen=True)
class OpenLine:
    """A line that asks for a signature and has none."""

    role: str
    file: str
    page: int
    why: str


@dataclass(frozen=True)
class SourceRow:
    """One file of documents/."""

    file: str
    pages: int


@dataclass(frozen=True)
class ReaderRow:
    """What one reader of the check read and found."""

    name: str
    version: str
    pages: int
    findings: int


@dataclass(frozen=True)
class CheckRow:
    """The verdict over the packet, and the proof of it."""

    verdict: str
    """`clean`, `held` or `not asked`."""
    readers: tuple[ReaderRow, ...] = ()
    planted: tuple[tuple[str, bool], ...] = ()
    """Each place in which a number was planted in a copy, and whether the check found it."""


@dataclass(frozen=True)
class DecisionRow:
    """One decision that is on record for this client and recipe."""

    when: str
    who: str
    what: str
    """`released`, `held` or `corrected`."""
    packet: str
    sha256: str
    note: str = ""
    """Of a correction: what was corrected, in words."""

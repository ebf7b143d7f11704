"""What the pages are asked for, and what their templates are told."""

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class ReviewRequest:
    """One opening of the pages."""

    place: Path
    """A client folder, or a folder with client folders in it."""
    recipe: str = ""
    """Name or path; empty lets each client folder tell what needs a person."""
    idle_minutes: int = 30
    office: Path | None = None
    key_password_file: Path | None = None
    """Its first line opens the office's key."""


@dataclass(frozen=True)
class MarkView:
    """One mark as it is drawn on a page and listed under it."""

    number: int
    """Through the whole packet, from 1."""
    what: str
    """`masked`, `blanked`, `let through` or `signed`; it decides the outline."""
    words: str
    box: tuple[float, float, float, float]
    """x, y, width, height in points from the upper left corner of the page."""
    badge: tuple[float, float]
    """Middle of its number, beside the box and on the page."""


@dataclass(frozen=True)
class PageView:
    """One page of the packet."""

    number: int
    width: float
    height: float
    marks: tuple[MarkView, ...]
    part: str
    """Heading of the part that begins with this page; else empty."""
    origin: str
    """Source file and page in words; empty for a sheet of our own."""


@dataclass(frozen=True)
class LeftOutView:
    """One source page that is in no packet."""

    number: int
    """Among those left out, from 1; by it the page is addressed."""
    file: str
    page: int
    why: str


@dataclass(frozen=True)
class PartView:
    """One line of the contents."""

    heading: str
    first_page: int
    pages: str
    marks: str


@dataclass(frozen=True)
class HoldView:
    """Why something is held, what to do, and where to do it."""

    words: str
    remedy: str
    correct: str = ""
    """Address of the page to correct; empty where no one page is meant."""


@dataclass(frozen=True)
class Choices:
    """What may be decided now."""

    release: bool
    hold: bool
    why_not: str = ""
    """Why there is no release, in a sentence."""


@dataclass(frozen=True)
class CorrectView:
    """One page that is to be corrected, packet page or source page."""

    heading: str
    origin: str
    picture: str
    """Address of its picture; empty where it cannot be shown."""
    unshown: str
    """Why it cannot be shown."""
    width: float
    height: float
    marks: tuple[MarkView, ...]
    maskable: bool
    """Whether a place on it can be hidden: only on pages that are shown."""
    source_page: int
    back: str

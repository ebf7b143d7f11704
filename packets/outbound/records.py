"""What the outbound check hands on. Nothing here can hold a number."""

from dataclasses import dataclass
from enum import StrEnum


class Judgement(StrEnum):
    """The one word about a file."""

    CLEAN = "clean"
    HELD = "held"
    """A number was seen, or something could not be read."""


@dataclass(frozen=True, order=True)
class Sighting:
    """A full number seen by an outbound reader."""

    kind: str
    page: int
    """Page number from 1; 0 where it belongs to no page."""
    place: str
    """In words: `page text`, `picture on the page`, `document information`, `object 12 0`."""
    reader: str
    how_sure: str
    """`known number`, `labelled`, `shape` or `bare run`."""


@dataclass(frozen=True)
class ReaderReport:
    """What one reader did."""

    name: str
    version: str
    pages: int
    findings: int


@dataclass(frozen=True)
class Verdict:
    """The judgement over one file with all that supports it."""

    file: str
    sha256: str
    judgement: Judgement
    readers: tuple[ReaderReport, ...]
    sightings: tuple[Sighting, ...]
    unread: tuple[str, ...]
    """Places that could not be read, in words; any makes the verdict `held`."""


@dataclass(frozen=True)
class Reading:
    """What one reader found in one file."""

    reader: str
    version: str
    pages: int
    sightings: tuple[Sighting, ...]
    unread: tuple[str, ...] = ()
    enclosed: tuple[tuple[str, bytes], ...] = ()
    """Files inside the file, each with its place in words, to be checked in their turn."""

    @property
    def report(self) -> ReaderReport:
        """The reading as one line of the manifest."""
        return ReaderReport(self.reader, self.version, self.pages, len(self.sightings))

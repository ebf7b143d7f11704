"""What assembly takes and hands on."""

from dataclasses import dataclass


@dataclass(frozen=True)
class BoundPages:
    """Pages of one rebuilt PDF that go in as one document."""

    title: str
    pdf: bytes
    pages: tuple[int, ...]
    """Page numbers inside `pdf`, from 1, in packet order."""


@dataclass(frozen=True)
class BoundPart:
    """A part: its heading and documents, in order."""

    heading: str
    documents: tuple[BoundPages, ...]


@dataclass(frozen=True)
class RecordEntry:
    """One paragraph of the signing record: a heading, and facts with their names."""

    heading: str
    facts: tuple[tuple[str, str], ...]
    """Name and words. Digests come in groups, so that no run of digits looks like a number."""
    pages: tuple[int, ...] = ()
    """Pages on which it was placed: their places in the order of all bound pages, from 0."""


@dataclass(frozen=True)
class Binding:
    """Everything assembly needs to know; no paths, no secrets."""

    title: str
    """Document title, already filled in."""
    household: str
    tax_year: int
    engagement_id: str
    audience: str
    parts: tuple[BoundPart, ...]
    cover_sheet: bool = True
    dividers: bool = True
    stamp_text: str = ""
    page_numbers: bool = False
    masked: bool = True
    encrypted: bool = True
    record: tuple[RecordEntry, ...] = ()
    """The signing record, on sheets of its own behind the last part; empty for none."""
    language: str = "en-US"


@dataclass(frozen=True)
class PartRange:
    """Where a part lies in the packet."""

    heading: str
    first_page: int
    """Packet page number from 1; the divider where there is one."""
    pages: int


@dataclass(frozen=True)
class AssembledPacket:
    """The packet before encryption."""

    pdf: bytes
    """The same bytes for the same binding: no clock, no random identifier."""
    pages: int
    parts: tuple[PartRange, ...]
    page_of: tuple[tuple[int, ...], ...]
    """For each part-document in order, the packet page numbers of its pages."""

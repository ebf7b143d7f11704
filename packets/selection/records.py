"""The page plan: what goes in, in which order and why; what stays out and why."""

from dataclasses import dataclass


@dataclass(frozen=True)
class PlannedPage:
    """One page that goes into the packet."""

    document: int
    """Index into `Inventory.documents`."""
    number: int
    """Page number inside that document, from 1."""
    category: str
    why: str
    blank_numbers: bool = False
    """Numbers on this page are blanked whole, for the client to write in."""


@dataclass(frozen=True)
class PlannedDocument:
    """Neighbouring pages that belong together: one form, letter or scan."""

    title: str
    category: str
    pages: tuple[PlannedPage, ...]


@dataclass(frozen=True)
class PlannedPart:
    """One part of the recipe that has at least one page."""

    heading: str
    documents: tuple[PlannedDocument, ...]
    signed_by: tuple[str, ...] = ()


@dataclass(frozen=True)
class LeftOut:
    """Pages of one file that stay out, with one reason."""

    document: int
    pages: tuple[int, ...]
    why: str


@dataclass(frozen=True)
class PagePlan:
    """The whole plan. `stops` are reasons why this packet may not be built as things stand."""

    parts: tuple[PlannedPart, ...]
    left_out: tuple[LeftOut, ...]
    stops: tuple[str, ...] = ()
    needs_consent: bool = False
    """True for a third-party packet: the consent in the folder must bear a signature."""
    consent_pages: tuple[tuple[int, int], ...] = ()
    """Where that consent lies: index into `Inventory.documents`, page number from 1."""

    @property
    def pages(self) -> tuple[PlannedPage, ...]:
        """All pages in packet order, without cover and dividers."""
        return tuple(
            page for part in self.parts for document in part.documents for page in document.pages
        )

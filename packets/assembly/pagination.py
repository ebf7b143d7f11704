"""Which packet page everything lands on. Pure arithmetic; nothing here opens a PDF."""

from dataclasses import dataclass

from packets.assembly.records import BoundPart, PartRange


@dataclass(frozen=True)
class PartPages:
    """Packet page numbers of one part, from 1."""

    heading: str
    dividers: tuple[int, ...]
    """Pages of the divider sheet and its continuations; empty where there is none."""
    documents: tuple[tuple[int, ...], ...]

    @property
    def first(self) -> int:
        """The divider where there is one, else the first page of the first document."""
        return self.dividers[0] if self.dividers else self.documents[0][0]

    @property
    def pages(self) -> int:
        """Pages of the part with its dividers."""
        return len(self.dividers) + sum(len(pages) for pages in self.documents)

    def as_range(self) -> PartRange:
        """The record that the manifest lists."""
        return PartRange(heading=self.heading, first_page=self.first, pages=self.pages)


@dataclass(frozen=True)
class Pagination:
    """Packet page numbers of the whole packet."""

    covers: tuple[int, ...]
    parts: tuple[PartPages, ...]
    record: tuple[int, ...] = ()
    """Pages of the signing record, behind the last part."""

    @property
    def total(self) -> int:
        """Pages in the packet."""
        return len(self.covers) + sum(part.pages for part in self.parts) + len(self.record)

    @property
    def bound(self) -> tuple[int, ...]:
        """Packet page numbers of all bound pages, in order, without sheets of ours."""
        return tuple(
            number for part in self.parts for document in part.documents for number in document
        )


def paginate(
    parts: tuple[BoundPart, ...],
    *,
    cover_sheets: int,
    divider_sheets: tuple[int, ...],
    record_sheets: int = 0,
) -> Pagination:
    """Number all pages in order: covers, each part's dividers and documents, the record.

    `divider_sheets` holds one count for each part.
    """
    following = cover_sheets + 1
    numbered = []
    for part, sheets in zip(parts, divider_sheets, strict=True):
        dividers = tuple(range(following, following + sheets))
        following += sheets
        documents = []
        for document in part.documents:
            count = len(document.pages)
            documents.append(tuple(range(following, following + count)))
            following += count
        numbered.append(PartPages(part.heading, dividers, tuple(documents)))
    return Pagination(
        covers=tuple(range(1, cover_sheets + 1)),
        parts=tuple(numbered),
        record=tuple(range(following, following + record_sheets)),
    )

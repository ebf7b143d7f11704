"""Pages of many PDFs in one, each source opened once and its fonts and pictures kept shared."""

from contextlib import ExitStack
from dataclasses import dataclass
from io import BytesIO

import pikepdf

from packets.assembly.records import Binding, BoundPages
from packets.base.errors import Damaged, Locked, OurFault

_PAGE_KEYS = frozenset(
    {"/Type", "/Parent", "/MediaBox", "/CropBox", "/Rotate", "/UserUnit"}
    | {"/Resources", "/Contents", "/Group"}
)
"""What a packet page may hold (ISO 32000-2, table 31); any other key stays behind."""


@dataclass(frozen=True)
class SourcePage:
    """Where a packet page was copied from."""

    source: int
    """Index into `Merged.sources`."""
    page: int
    """From 0."""


@dataclass(frozen=True)
class Merged:
    """The packet in the making. Its sources stay open until it is saved."""

    packet: pikepdf.Pdf
    sources: tuple[bytes, ...]
    """The distinct source PDFs."""
    origins: tuple[SourcePage | None, ...]
    """For each packet page; None for a sheet of ours."""


class _Sources:
    """Source PDFs by their bytes. A page copied twice is one set of resources."""

    def __init__(self, stack: ExitStack) -> None:
        self._stack = stack
        self._open: dict[bytes, tuple[int, pikepdf.Pdf]] = {}

    @property
    def data(self) -> tuple[bytes, ...]:
        return tuple(self._open)

    def open(self, document: BoundPages) -> tuple[int, pikepdf.Pdf]:
        found = self._open.get(document.pdf)
        if found is None:
            found = self._open[document.pdf] = (
                len(self._open),
                self._stack.enter_context(open_source(document.pdf, document.title)),
            )
        return found


def open_source(data: bytes, where: str) -> pikepdf.Pdf:
    """Open PDF bytes.

    Raises:
        Locked: the file asks for a password.
        Damaged: it cannot be opened or has no pages.
    """
    try:
        return pikepdf.open(BytesIO(data))
    except pikepdf.PasswordError:
        raise Locked("this PDF asks for a password", where=where) from None
    except (pikepdf.PdfError, ValueError):
        raise Damaged("this PDF cannot be opened", where=where) from None


def merge(
    binding: Binding, front: bytes | None, sheets: tuple[int, ...], stack: ExitStack
) -> Merged:
    """Copy all pages in packet order into a new PDF.

    `front` holds the sheets of ours; `sheets` says how many of them come before the
    first part (the covers), then at the head of each part, and behind the last.
    """
    packet = stack.enter_context(pikepdf.new())
    sources = _Sources(stack)
    origins: list[SourcePage | None] = []
    own_pages = iter(stack.enter_context(open_source(front, "front sheets")).pages if front else ())

    def take_own(count: int) -> None:
        for _ in range(count):
            packet.pages.append(next(own_pages))
            _keep_listed(packet.pages[-1].obj)
            origins.append(None)

    take_own(sheets[0])
    for part, own in zip(binding.parts, sheets[1:-1], strict=True):
        take_own(own)
        for document in part.documents:
            index, source = sources.open(document)
            for number in document.pages:
                packet.pages.append(_page(source, number, document.title))
                _keep_listed(packet.pages[-1].obj)
                origins.append(SourcePage(index, number - 1))
    take_own(sheets[-1])
    return Merged(packet, sources.data, tuple(origins))


def _keep_listed(page: pikepdf.Object) -> None:
    for key in set(page.keys()) - _PAGE_KEYS:
        del page[key]


def _page(source: pikepdf.Pdf, number: int, title: str) -> pikepdf.Page:
    if not 1 <= number <= len(source.pages):
        raise OurFault(f"page {number} of {len(source.pages)} was asked for", where=title)
    page = source.pages[number - 1]
    if "/Annots" in page.obj:
        # An annotation can lead to pages, forms and files that nobody chose.
        raise OurFault("a page with annotations reached assembly", where=title)
    return page

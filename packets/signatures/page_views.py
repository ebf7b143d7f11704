"""The pages of a document as they are before signing: their letters and their pixels."""

import contextlib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import pymupdf

from packets.base.errors import Damaged
from packets.base.secret import Secret
from packets.reading.ocr import OcrReader
from packets.signatures.page_letters import (
    LabelWords,
    Reading,
    may_show,
    printed_letters,
    read_letters,
)
from packets.signatures.upright import Upright, upright_of

if TYPE_CHECKING:
    from packets.signatures.page_look import Look


_NOTHING = Secret("")


@dataclass
class PageViews:
    """Reads and draws pages (from 1) of one document, each once."""

    pdf: bytes = field(repr=False)
    ocr: OcrReader | None = None
    """Reads pages without text; None leaves them unread."""
    printed: Mapping[int, Secret] = field(default_factory=dict)
    """The letters of pages, where somebody has read them already."""
    document: pymupdf.Document | None = None
    looks: "dict[tuple[int, int, bool], Look]" = field(default_factory=dict)

    def readings(self, page: int) -> tuple[Reading, ...]:
        """The letters of a page. Raises Damaged where it cannot be read."""
        with self._engine(page) as view:
            return read_letters(view, self.ocr)

    def may_show(self, page: int, labels: Iterable[LabelWords]) -> bool:
        """Whether any of the labels may stand on a page. Raises Damaged."""
        printed = self.printed.get(page, _NOTHING).reveal()
        if not printed:
            with self._engine(page) as view:
                printed = printed_letters(view)
        return may_show(printed, labels)

    def upright(self, page: int, turn: int) -> Upright:
        """A page turned by so many degrees. Raises Damaged."""
        with self._engine(page) as view:
            return upright_of(view, turn)

    def look(self, page: int, upright: Upright, *, fields: bool) -> "Look":
        """The pixels of a page. Raises Damaged where it cannot be drawn."""
        from packets.signatures.page_look import look_at  # noqa: PLC0415 - once a line is found

        key = (page, upright.turn, fields)
        if key not in self.looks:
            with self._engine(page) as view:
                self.looks[key] = look_at(view, upright, fields=fields)
        return self.looks[key]

    def close(self) -> None:
        """Let go of the document."""
        if self.document is not None:
            self.document.close()

    @contextlib.contextmanager
    def _engine(self, page: int) -> Iterator[pymupdf.Page]:
        try:
            if self.document is None:
                self.document = pymupdf.open(stream=self.pdf, filetype="pdf")
            yield self.document[page - 1]
        except (
            pymupdf.FileDataError,
            pymupdf.mupdf.FzErrorBase,
            RuntimeError,
            ValueError,
            IndexError,
        ):
            raise Damaged("this page cannot be drawn", where=f"page {page}") from None

"""The line in the margin of each page: the stamp's words and `Page 3 of 41`."""

from collections.abc import Sequence
from contextlib import ExitStack
from functools import cached_property

import pikepdf
from reportlab.pdfbase.pdfmetrics import stringWidth

from packets.assembly.enclosure import enclosed_content
from packets.assembly.faces import face_object
from packets.assembly.free_spot import Spot, find_spot, foot_spot
from packets.assembly.lettering import Lettering, in_standard_faces, show_form
from packets.assembly.merge import Merged, SourcePage
from packets.assembly.page_boxes import ShownPage, set_box, shown_page
from packets.assembly.paper import PageViewer, PaperViewer
from packets.base.shared_out import shared_out

_FACE = "Helvetica"
_BETWEEN = "  \u00b7  "
_MANY = 48
"""Pages by which a copy of the process earns what it costs."""


class StampWording:
    """What is printed on each page, and how wide it is at a type size of 1."""

    def __init__(self, words: str, *, numbered: bool, total: int, lettering: Lettering) -> None:
        self.words = words
        self._numbered = numbered
        self._total = total
        self._lettering = lettering
        self.plain = in_standard_faces(words)
        if words and not self.plain:
            lettering.set_text(words)

    def number(self, page: int) -> str:
        """The plain end of the line."""
        if not self._numbered:
            return ""
        return f"{_BETWEEN if self.words else ''}Page {page} of {self._total}"

    @cached_property
    def words_width(self) -> float:
        """Width of the stamp's words."""
        if self.plain:
            return float(stringWidth(self.words, _FACE, 1))
        return self._lettering.width(self.words, 1)

    def width(self, page: int) -> float:
        """Width of the whole line on one page."""
        return self.words_width + float(stringWidth(self.number(page), _FACE, 1))

    @property
    def letters(self) -> set[str]:
        """The letters printed in the plain face."""
        return {*(self.words if self.plain else ""), *self.number(self._total), *"0123456789"}

    @cached_property
    def widest(self) -> float:
        """Width of the line on the last page, whose number has the most digits.

        All digits of the face are equally wide.
        """
        return self.width(self._total)


class Stamper:
    """Stamps the pages of one packet."""

    def __init__(self, merged: Merged, wording: StampWording, lettering: Lettering) -> None:
        self._merged = merged
        self._wording = wording
        self._lettering = lettering
        self._font = merged.packet.make_indirect(face_object(merged.packet, _FACE, wording.letters))

    def stamp_all(self, forms: dict[str, pikepdf.Object]) -> None:
        """Stamp every page; `forms` holds the words where the standard face lacks them."""
        pages, origins = list(self._merged.packet.pages), self._merged.origins
        shown = [shown_page(page.obj) for page in pages]
        places = {
            origin: how for origin, how in zip(origins, shown, strict=True) if origin is not None
        }
        spots = self._spots(list(places.items()))
        words = forms.get(self._wording.words)
        for number, (page, origin, how) in enumerate(
            zip(pages, origins, shown, strict=True), start=1
        ):
            spot = spots[origin] if origin else foot_spot(how, self._wording.widest)
            self._stamp(page.obj, how, spot, number, words)

    def _spots(self, places: Sequence[tuple[SourcePage, ShownPage]]) -> dict[SourcePage, Spot]:
        """Where each source page has room."""
        with ExitStack() as stack:
            viewers = [stack.enter_context(PaperViewer(source)) for source in self._merged.sources]

            def look(place: tuple[SourcePage, ShownPage]) -> Spot:
                origin, shown = place
                return self._spot(viewers[origin.source].page(origin.page, shown), shown)

            spots = shared_out(places, look, many=_MANY)
        return {origin: spot for (origin, _), spot in zip(places, spots, strict=True)}

    def _spot(self, view: PageViewer | None, shown: ShownPage) -> Spot:
        return find_spot(shown, self._wording.widest, view.edge if view else lambda *_: None)

    def _stamp(
        self,
        page: pikepdf.Object,
        shown: ShownPage,
        spot: Spot,
        number: int,
        words: pikepdf.Object | None,
    ) -> None:
        packet = self._merged.packet
        content = enclosed_content(packet, page, shown)
        resources = pikepdf.Dictionary(
            Font=pikepdf.Dictionary(S=self._font), XObject=pikepdf.Dictionary()
        )
        drawn = b""
        if content is not None:
            resources.XObject["/P"] = content
            drawn = b"q /P Do Q\n"
        if words is not None:
            resources.XObject["/W"] = words
        page.Contents = packet.make_stream(drawn + self._line(shown, spot, number))
        page.Resources = resources
        if spot.below or spot.right:
            set_box(page, shown.grown(spot.below, spot.right))

    def _line(self, shown: ShownPage, spot: Spot, number: int) -> bytes:
        matrix = " ".join(f"{each:.6g}" for each in shown.to_user_space())
        wording, size = self._wording, spot.size
        x = spot.x + spot.align * (wording.widest - wording.width(number)) * size
        end = wording.number(number)
        line = f"q {matrix} cm 0 g\n".encode("ascii")
        if wording.words and not wording.plain:
            at = self._lettering.set_text(wording.words)
            line += show_form("W", at, x, spot.baseline, size)
            x += wording.words_width * size
        else:
            end = wording.words + end
        if end:
            written = end.encode("cp1252").hex()
            line += (
                f"BT /S {size:.3f} Tf {x:.3f} {spot.baseline:.3f} Td <{written}> Tj ET\n"
            ).encode("ascii")
        return line + b"Q\n"

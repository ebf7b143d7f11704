"""The line in the margin of each page: the stamp's words and `Page 3 of 41`."""

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
from packets.assembly.paper import PaperViewer

_FACE = "Helvetica"
_BETWEEN = "  \u00b7  "


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
        self._spots: dict[SourcePage, Spot] = {}

    def stamp_all(self, forms: dict[str, pikepdf.Object]) -> None:
        """Stamp every page; `forms` holds the words where the standard face lacks them."""
        with ExitStack() as stack:
            viewers = [stack.enter_context(PaperViewer(source)) for source in self._merged.sources]
            pages = zip(self._merged.packet.pages, self._merged.origins, strict=True)
            for number, (page, origin) in enumerate(pages, start=1):
                shown = shown_page(page.obj)
                if origin is None:
                    spot = foot_spot(shown, self._wording.widest)
                else:
                    spot = self._spot(origin, shown, viewers[origin.source])
                self._stamp(page.obj, shown, spot, number, forms.get(self._wording.words))

    def _spot(self, origin: SourcePage, shown: ShownPage, viewer: PaperViewer) -> Spot:
        known = self._spots.get(origin)
        if known is None:
            view = viewer.page(origin.page, shown)
            known = self._spots[origin] = find_spot(
                shown, self._wording.widest, view.edge if view else lambda *_: None
            )
        return known

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

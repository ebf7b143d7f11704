"""Take glyphs out of content streams and set the mask where they stood.

The stream is followed operator by operator (ISO 32000-2, 9.4). Where a shown
string holds a code that is a target, the string is split: what stands before
and after stays byte for byte, the codes themselves are gone, and the mask is
shown between in a standard font of the same size, colour and rendering mode,
each mask character in the cell of the digit it replaces. So reading order,
neighbours and spacing stay, and the text copies out with the mask in its place.

Forms, tiling patterns and soft masks are followed where they are drawn or set
(8.10, 8.7.3, 11.6.5.3); one in which something is masked is copied, and only
that use of it gets the copy.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import pikepdf
from pikepdf import Dictionary, Name

from packets.base.errors import OverLimit
from packets.base.limits import DEFAULT_LIMITS
from packets.masking.content_streams import Instruction, content_of
from packets.masking.drawing_bombs import MOST_DRAWINGS
from packets.masking.font_widths import FontWidths, UnknownFont, read_widths
from packets.masking.judged_streams import JudgedStreams
from packets.masking.matrices import IDENTITY, Matrix
from packets.masking.plain_content import parts
from packets.masking.resources import Resources
from packets.masking.shown_text import ShownText
from packets.masking.stream_walk import StreamWalk
from packets.masking.targets import Targets
from packets.masking.text_state import TextMachine, TextState, numbers_of


@dataclass
class InPlaceMasker:
    """Masks the pages of one document. Remembers fonts and mask fonts between pages."""

    pdf: pikepdf.Pdf
    removed: dict[tuple[int, int], set[int]] = field(default_factory=dict)
    """Codes that went, by the object number of their font."""
    judged: JudgedStreams = field(default_factory=JudgedStreams)
    """What is known of the document's content streams."""
    _fonts: dict[tuple[int, int], FontWidths | None] = field(default_factory=dict)
    _mask_font: pikepdf.Object | None = None

    def mask_page(self, page: pikepdf.Page, targets: Targets) -> bool:
        """Mask what `targets` names on a page: all of it, or nothing at all.

        False when some target was not met; the page is then as it was.
        """
        resources = page.get("/Resources")
        if not isinstance(resources, Dictionary):
            resources = Dictionary()
        new = _PageMasking(self, targets).masked(page.obj, resources, TextState())
        if new is None or targets.missed:
            return False
        content, page.obj.Resources = new
        page.obj.Contents = self.pdf.make_stream(content)
        return True

    def widths(self, font: object) -> FontWidths | None:
        """Widths of a font, or None where its dictionary does not tell them."""
        if not isinstance(font, Dictionary):
            return None
        key = font.objgen
        if key == (0, 0):
            return _try_widths(font)
        if key not in self._fonts:
            self._fonts[key] = _try_widths(font)
        return self._fonts[key]

    def helvetica(self) -> pikepdf.Object:
        """The font of the masks."""
        if self._mask_font is None:
            self._mask_font = self.pdf.make_indirect(
                Dictionary(
                    Type=Name.Font,
                    Subtype=Name.Type1,
                    BaseFont=Name.Helvetica,
                    Encoding=Name.WinAnsiEncoding,
                )
            )
        return self._mask_font


class _PageMasking:
    """One page on its way through: its targets, and the drawings it is inside of."""

    def __init__(self, masker: InPlaceMasker, targets: Targets) -> None:
        self._masker, self._targets = masker, targets
        self.sets_afresh = targets.moving
        self._inside: list[tuple[int, int]] = []
        self._drawings = 0

    def masked(
        self, holder: pikepdf.Object, resources: pikepdf.Object, start: TextState
    ) -> tuple[bytes, pikepdf.Object] | None:
        """New content and resources of a page or drawing, or None when nothing in it is hit."""
        walk = StreamWalk(self, resources, start)
        rest = b""
        for instructions, behind in self._in_parts(holder):
            for instruction in instructions:
                walk.take(instruction)
            if self._targets.all_masked and not self.sets_afresh:
                rest = behind
                break
        if not walk.changed:
            return None
        written = pikepdf.unparse_content_stream(walk.out) + b"\n"
        whole = self._masker.judged.joined(written, rest) if rest else written
        return whole, walk.own.result

    def _in_parts(self, holder: pikepdf.Object) -> Iterator[tuple[Sequence[Instruction], bytes]]:
        """The instructions of a stream part by part, each with the bytes behind it.

        Numbers often stand at the top, and what stands below them is then not
        taken apart. Only a plain stream can be parted without being taken apart.
        """
        data = content_of(holder)
        plain = None if self.sets_afresh else self._masker.judged.bare(data)
        if plain is None:
            yield pikepdf.parse_content_stream(holder), b""
            return
        done = 0
        for end in parts(plain):
            yield self._parsed(plain[done:end]), plain[end:]
            done = end
        yield self._parsed(plain[done:]), b""

    def _parsed(self, data: bytes) -> Sequence[Instruction]:
        return pikepdf.parse_content_stream(self._masker.pdf.make_stream(data))

    def masked_drawing(
        self, drawing: object, borrowed: pikepdf.Object, state: TextState
    ) -> pikepdf.Object | None:
        """A copy of a form or pattern without the targets, or None when it stays as it is.

        A drawing inside itself is not drawn (8.10.1 forbids it).
        """
        if not isinstance(drawing, pikepdf.Stream) or drawing.objgen in self._inside:
            return None
        self._drawings += 1
        if self._drawings > MOST_DRAWINGS or len(self._inside) > DEFAULT_LIMITS.nesting:
            raise OverLimit("a page draws too many forms, or forms too deep inside one another")
        matrix = numbers_of(list(drawing.get("/Matrix", [])))
        ctm = (Matrix(*matrix) if len(matrix) == 6 else IDENTITY).times(state.ctm)
        inner = drawing.get("/Resources", borrowed)
        self._inside.append(drawing.objgen)
        new = self.masked(drawing, inner, state._replace(ctm=ctm))
        self._inside.pop()
        if new is None:
            return None
        copy = self._masker.pdf.make_stream(new[0])
        for key, value in drawing.items():
            if key not in ("/Length", "/Filter", "/DecodeParms"):
                copy[key] = value
        copy.Resources = new[1]
        return copy

    def take_apart(self, machine: TextMachine, operand: object) -> ShownText | None:
        """A shown string with its targets found; None where its codes cannot be placed."""
        widths = self._masker.widths(machine.state.typeface)
        if widths is None:
            return None
        shown = ShownText(machine, widths, self._targets)
        shown.read(operand)
        if shown.removed and machine.state.typeface is not None:
            font = machine.state.typeface.objgen
            self._masker.removed.setdefault(font, set()).update(shown.removed)
        return shown

    def mask_font(self, own: Resources) -> Name:
        """The name of the mask font in these resources."""
        return own.add("/Font", self._masker.helvetica())


def _try_widths(font: pikepdf.Object) -> FontWidths | None:
    try:
        return read_widths(font)
    except UnknownFont:
        return None

"""The glyphs of a Type 3 font (ISO 32000-2, 9.6.4), seen as a font program."""

from pikepdf import Dictionary, Stream

from packets.masking.font_programs import Change
from packets.masking.glyph_names import text_of_name


class TypeThreeProgram:
    """Glyphs are streams under names; their numbers count the names."""

    by_name = True
    fixed: frozenset[int] = frozenset()

    def __init__(self, font: Dictionary) -> None:
        self._font = font
        self._procedures = {
            name[1:]: procedure
            for name, procedure in font.get("/CharProcs", Dictionary()).items()
            if isinstance(procedure, Stream)
        }
        self._names = list(self._procedures)
        self._number = {name: k for k, name in enumerate(self._names)}
        self.count = len(self._names)

    def glyphs_of_code(self, code: int, name: str | None) -> set[int]:  # noqa: ARG002  # by name
        return {self._number[name]} if name in self._number else set()

    def glyph_of_cid(self, cid: int) -> int | None:  # noqa: ARG002  # has no CIDs
        return None

    def text(self, glyph: int) -> str:
        return text_of_name(self._names[glyph])

    def name(self, glyph: int) -> str | None:
        return self._names[glyph]

    def outline(self, glyph: int) -> bytes:
        return bytes(self._procedures[self._names[glyph]].read_bytes())

    def parts(self, glyph: int) -> set[int]:  # noqa: ARG002  # glyphs draw by themselves
        return set()

    def rewritten(self, change: Change) -> None:
        self._font.CharProcs = Dictionary(
            {
                "/" + change.names.get(name, name): self._procedures[name]
                for glyph, name in enumerate(self._names)
                if glyph not in change.gone
            }
        )

"""Compact font programs (Adobe Technical Notes 5176 and 5177): glyphs taken out, others in order.

A program that comes wrapped as OpenType is written as the bare program.
"""

import io
from collections.abc import Iterator, Sequence
from types import SimpleNamespace
from typing import Any

from fontTools.cffLib import CFFFontSet, cffISOAdobeStrings
from fontTools.encodings.StandardEncoding import StandardEncoding
from fontTools.misc.psCharStrings import SimpleT2Decompiler, calcSubrBias
from fontTools.ttLib import TTFont
from pikepdf import Name, Stream

from packets.masking.font_programs import Change, UnknownProgram
from packets.masking.glyph_names import text_of_name

_MOST_STEPS = 300_000
"""Calls of subroutines, and parts of all glyphs together, in one program."""
_DEEPEST = 12
_UNNAMED = ".notdef"


class CompactProgram:
    """A program of Type 2 charstrings."""

    fixed = frozenset({0})

    def __init__(self, data: bytes, stream: Stream, *, composite: bool) -> None:
        self._stream, self._composite = stream, composite
        if data[:4] == b"OTTO":
            data = TTFont(io.BytesIO(data), lazy=True).reader["CFF "]
        self._set: Any = CFFFontSet()
        self._set.decompile(io.BytesIO(data), SimpleNamespace(recalcBBoxes=False), isCFF2=False)
        self._top: Any = self._set[0]
        self._keyed = hasattr(self._top, "ROS")
        if not getattr(self._top, "charset", None):
            self._top.charset = self._standard_names()
        self._names: list[str] = list(self._top.charset)
        self.count = len(self._names)
        self._number = {name: k for k, name in enumerate(self._names)}
        self.by_name = self._keyed or not composite
        self._outlines: dict[int, bytes] = {}
        self._encoding = _encoding(self._top) if not self._keyed else [_UNNAMED] * 256

    def _standard_names(self) -> list[str]:
        """Of a program without a charset of its own."""
        if self._keyed:
            return [_UNNAMED, *(f"cid{k:05d}" for k in range(1, self._top.numGlyphs))]
        return list(cffISOAdobeStrings[: self._top.numGlyphs])

    def glyphs_of_code(self, code: int, name: str | None) -> set[int]:
        """By the name that the font dictionary gives, or by the encoding within."""
        named = name if name is not None else self._encoding[code]
        return {self._number[named]} if named in self._number else set()

    def glyph_of_cid(self, cid: int) -> int | None:
        if self._keyed:
            return self._number.get(f"cid{cid:05d}", 0 if cid == 0 else None)
        return cid if cid < self.count else None

    def text(self, glyph: int) -> str:
        return "" if self._keyed else text_of_name(self._names[glyph])

    def name(self, glyph: int) -> str | None:
        return self._names[glyph] if self.by_name and not self._keyed else None

    def outline(self, glyph: int) -> bytes:
        if glyph not in self._outlines:  # before anybody takes the charstring apart
            data = bytes(self._top.CharStrings.charStringsIndex[glyph].bytecode)
            self._outlines[glyph] = b"" if len(data) <= 4 and data[-1:] == b"\x0e" else data
        return self._outlines[glyph]

    def parts(self, glyph: int) -> set[int]:
        """Base and accent of an accented letter (5177, appendix C)."""
        program = self._flat(glyph)
        if program[-1:] != ["endchar"] or len(program) < 5:
            return set()
        codes = program[-3:-1]
        if not all(isinstance(token, int) for token in program[-5:-1]):
            return set()
        return {
            self._number[StandardEncoding[code]]
            for code in codes
            if 0 <= code < 256 and StandardEncoding[code] in self._number
        }

    def _flat(self, glyph: int) -> list[Any]:
        char = self._top.CharStrings.charStringsIndex[glyph]
        if not hasattr(char, "in_one_piece"):
            self.outline(glyph)
            local = getattr(char.private, "Subrs", [])
            _Following(local, char.globalSubrs, char.private).execute(char)
            char.in_one_piece = list(_Inlining(local, char.globalSubrs).tokens(char.program))
        return list(char.in_one_piece)

    def rewritten(self, change: Change) -> None:
        order = self._new_order(change)
        chars = self._top.CharStrings
        index = chars.charStringsIndex
        for glyph in range(self.count):
            if glyph not in change.gone:
                index[glyph].program = self._flat(glyph)
                index[glyph].bytecode = None
        names = [self._new_name(place, glyph, change) for place, glyph in enumerate(order)]
        items = [index[glyph] for glyph in order]
        for glyph, char in zip(order, items, strict=True):
            if glyph in change.gone:
                char.program, char.bytecode = ["endchar"], None
        if hasattr(self._top, "FDSelect"):
            kinds = [self._top.FDSelect[glyph] for glyph in order]
            self._top.FDSelect.gidArray = kinds
            self._top.FDSelect.format = None
        index.items = items
        chars.charStrings = {name: k for k, name in enumerate(names)}
        self._top.charset, self._top.numGlyphs = names, len(names)
        if self._keyed:
            self._top.CIDCount = 1 + max(int(name[3:8]) for name in names[1:] or ["cid00000"])
        self._new_encoding(change)
        self._drop_subroutines()
        self._top.recalcFontBBox()
        self._set.fontNames = [name.partition("+")[2] or name for name in self._set.fontNames]
        out = io.BytesIO()
        self._set.compile(out, SimpleNamespace(recalcBBoxes=False), isCFF2=False)
        self._stream.write(out.getvalue())
        self._stream["/Subtype"] = Name.CIDFontType0C if self._composite else Name.Type1C

    def _new_order(self, change: Change) -> list[int]:
        order = list(range(self.count))
        if change.places:
            free = sorted((set(change.places) | change.gone) - set(change.places.values()))
            for glyph, place in change.places.items():
                order[place] = glyph
            for glyph, place in zip(sorted(change.gone), free, strict=True):
                order[place] = glyph
        if self.by_name:
            return [glyph for glyph in order if glyph not in change.gone]
        while order[-1] in change.gone:
            order.pop()
        return order

    def _new_name(self, place: int, glyph: int, change: Change) -> str:
        name = self._names[glyph]
        if not place:
            return name
        if self._keyed:
            cid = int(name[3:8])
            return f"cid{change.codes.get(cid, cid):05d}"
        return change.names.get(name, name) if self.by_name else f"x{place}"

    def _new_encoding(self, change: Change) -> None:
        if self._keyed or not isinstance(self._top.Encoding, list):
            return
        new = [_UNNAMED] * 256
        for code, name in enumerate(self._encoding):
            number = self._number.get(name)
            if code not in change.gone_codes and number not in change.gone:
                new[change.codes.get(code, code)] = change.names.get(name, name)
        self._top.Encoding = new if self.by_name else [_UNNAMED] * 256

    def _drop_subroutines(self) -> None:
        """They stand in the glyphs now; those of glyphs that went would tell of them."""
        dicts = self._top.FDArray if hasattr(self._top, "FDArray") else [self._top]
        for private in [item.Private for item in dicts if hasattr(item, "Private")]:
            if hasattr(private, "Subrs"):
                del private.Subrs
            private.rawDict.pop("Subrs", None)
        self._set.GlobalSubrs.clear()


def _encoding(top: Any) -> Sequence[str]:
    encoding = getattr(top, "Encoding", "StandardEncoding")
    return encoding if isinstance(encoding, list) else StandardEncoding


class _Following(SimpleT2Decompiler):  # type: ignore[misc]  # fontTools carries no annotations
    """Follows a charstring through its subroutines, so that each is known; within bounds."""

    steps = 0

    def op_callsubr(self, index: int) -> None:
        self._step()
        super().op_callsubr(index)

    def op_callgsubr(self, index: int) -> None:
        self._step()
        super().op_callgsubr(index)

    def _step(self) -> None:
        self.steps += 1
        if self.steps > _MOST_STEPS or len(self.callingStack) > _DEEPEST:
            raise UnknownProgram


class _Inlining:
    """A charstring with its subroutines in place of their calls."""

    def __init__(self, local: Sequence[Any], shared: Sequence[Any]) -> None:
        self._subroutines = {
            "callsubr": (local, calcSubrBias(local)),
            "callgsubr": (shared, calcSubrBias(shared)),
        }
        self._ended = False

    def tokens(self, program: Sequence[Any]) -> Iterator[Any]:
        out: list[Any] = []
        self._add(program, out)
        return iter(out)

    def _add(self, program: Sequence[Any], out: list[Any]) -> None:
        for token in program:
            if self._ended or token == "return":  # noqa: S105  # an operator
                return
            if token in self._subroutines:
                subroutines, bias = self._subroutines[token]
                called = out.pop()
                if not isinstance(called, int):
                    raise UnknownProgram
                self._add(subroutines[called + bias].program, out)
            else:
                out.append(token)
                self._ended = token == "endchar"  # noqa: S105
            if len(out) > _MOST_STEPS:
                raise UnknownProgram

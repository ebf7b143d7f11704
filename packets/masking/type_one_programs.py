"""Type 1 font programs (Adobe Type 1 Font Format, 1990): glyphs taken out, others in order.

The program is PostScript of a fixed form. It is not run: the few places that
tell of glyphs are found by their form, and everything else stays as it is.
"""

import re
from collections.abc import Sequence

from fontTools.encodings.StandardEncoding import StandardEncoding
from fontTools.misc import eexec
from fontTools.misc.psCharStrings import T1CharString
from pikepdf import Stream

from packets.masking.font_programs import Change, UnknownProgram
from packets.masking.glyph_names import text_of_name

_EEXEC_KEY, _CHAR_KEY = 55665, 4330
_ENCODED = re.compile(rb"dup\s+([0-9]+)\s*/([^\s/{}\[\]()<>%]+)\s+put[ \t]*(?:\r\n|\n|\r)?")
_HEAD = re.compile(rb"/CharStrings\s+([0-9]+)\s+dict\s+dup\s+begin\s*?(?:\r\n|\n|\r| )")
_GLYPH = re.compile(rb"\s*/([^\s/{}\[\]()<>%]+)\s+([0-9]+)\s+(RD|-\||\S+)\s")
_SUBROUTINE = re.compile(rb"dup\s+([0-9]+)\s+([0-9]+)\s+(RD|-\|)\s")
_DEFINED = re.compile(rb"[^/]{0,40}?(?:def|ND|\|-)(?=[\s/])\s?")
_LEN_IV = re.compile(rb"/lenIV\s+(-?[0-9]+)")
_TAG = re.compile(rb"(/FontName\s+/)[A-Z]{6}\+")
_HEX = re.compile(rb"[0-9A-Fa-f\s]{8,}")
_ZEROS = b"\n" + (b"0" * 64 + b"\n") * 8 + b"cleartomark\n"


class TypeOneProgram:
    """A program whose glyphs go by name."""

    by_name = True

    def __init__(self, data: bytes, stream: Stream) -> None:
        self._stream = stream
        self._clear, self._private = _taken_apart(data)
        found = _LEN_IV.search(self._private)
        self._random = int(found[1]) if found else 4
        self._entries: list[tuple[str, bytes, bytes]] = []
        self._start, self._end = self._read_glyphs()
        self.count = len(self._entries)
        if not self.count:
            raise UnknownProgram
        self._number = {entry[0]: k for k, entry in enumerate(self._entries)}
        self.fixed = frozenset(k for name, k in self._number.items() if name == ".notdef")
        self._encoding = {int(code): name.decode("latin-1")
                          for code, name in _ENCODED.findall(self._clear)}  # fmt: skip
        if not self._encoding and b"StandardEncoding def" in self._clear:
            self._encoding = dict(enumerate(StandardEncoding))

    def _read_glyphs(self) -> tuple[int, int]:
        """Fill the entries; where the first starts and the last ends."""
        head = _HEAD.search(self._private)
        if head is None:
            raise UnknownProgram
        at = start = head.end()
        while found := _GLYPH.match(self._private, at):
            body = found.end()
            end = body + int(found[2])
            defined = _DEFINED.match(self._private, end)
            if defined is None:
                raise UnknownProgram
            name = found[1].decode("latin-1")
            self._entries.append((name, self._private[body:end], found[3]))
            self._after = defined.group()
            at = defined.end()
        return start, at

    def glyphs_of_code(self, code: int, name: str | None) -> set[int]:
        named = name if name is not None else self._encoding.get(code)
        return {self._number[named]} if named in self._number else set()

    def glyph_of_cid(self, cid: int) -> int | None:  # noqa: ARG002  # has no CIDs
        return None

    def text(self, glyph: int) -> str:
        return text_of_name(self._entries[glyph][0])

    def name(self, glyph: int) -> str | None:
        return self._entries[glyph][0]

    def outline(self, glyph: int) -> bytes:
        data = self._charstring(self._entries[glyph][1])
        return b"" if self._program(data)[-3:] == ["hsbw", "endchar"] else data

    def _charstring(self, data: bytes) -> bytes:
        if self._random < 0:
            return data
        return bytes(eexec.decrypt(data, _CHAR_KEY)[0][self._random :])

    def _encrypted(self, data: bytes) -> bytes:
        if self._random < 0:
            return data
        return bytes(eexec.encrypt(b"\0" * self._random + data, _CHAR_KEY)[0])

    @staticmethod
    def _program(data: bytes) -> list[int | str]:
        char = T1CharString(data)
        char.decompile()
        return list(char.program)

    def parts(self, glyph: int) -> set[int]:
        """Base and accent of an accented letter (`seac`, 6.4)."""
        program = self._program(self._charstring(self._entries[glyph][1]))
        found = set()
        for at, token in enumerate(program):
            if token == "seac":  # noqa: S105  # an operator
                for code in program[at - 2 : at]:
                    if isinstance(code, int) and 0 <= code < 256:
                        found.add(self._number.get(StandardEncoding[code], glyph))
        return found - {glyph}

    def rewritten(self, change: Change) -> None:
        order = [glyph for glyph in self._new_order(change) if glyph not in change.gone]
        kept = [self._entries[glyph] for glyph in order]
        glyphs = b"".join(
            b"/%s %d %s %s%s"
            % (change.names.get(name, name).encode("latin-1"), len(data), mark, data, self._after)
            for name, data, mark in kept
        )
        head = _HEAD.search(self._private)
        before = self._private[: self._start]
        if head is not None:
            a, b = head.span(1)
            before = before[:a] + b"%d" % len(kept) + before[b:]
        before = self._without_subroutines(before, [data for _, data, _ in kept])
        private = before + glyphs + self._tail()
        clear = _TAG.sub(rb"\1", self._new_encoding(change))
        hidden = bytes(eexec.encrypt(private, _EEXEC_KEY)[0])
        self._stream.write(clear + hidden + _ZEROS)
        self._stream["/Length1"], self._stream["/Length2"] = len(clear), len(hidden)
        self._stream["/Length3"] = len(_ZEROS)

    def _tail(self) -> bytes:
        """What follows the glyphs; not the zeros behind it, as they come out of decryption."""
        tail = self._private[self._end :]
        closed = tail.find(b"closefile")
        if closed < 0:
            raise UnknownProgram
        return tail[: closed + len(b"closefile")] + b"\n"

    def _new_order(self, change: Change) -> list[int]:
        order = list(range(self.count))
        if change.places:
            free = sorted((set(change.places) | change.gone) - set(change.places.values()))
            for glyph, place in change.places.items():
                order[place] = glyph
            for glyph, place in zip(sorted(change.gone), free, strict=True):
                order[place] = glyph
        return order

    def _new_encoding(self, change: Change) -> bytes:
        entries = list(_ENCODED.finditer(self._clear))
        if not entries:
            return self._clear
        new = {}
        for found in entries:
            code, name = int(found[1]), found[2].decode("latin-1")
            if code not in change.gone_codes and self._number.get(name) not in change.gone:
                new[change.codes.get(code, code)] = change.names.get(name, name)
        lines = b"".join(
            b"dup %d /%s put\n" % (code, name.encode("latin-1"))
            for code, name in sorted(new.items())
        )
        return self._clear[: entries[0].start()] + lines + self._clear[entries[-1].end() :]

    def _without_subroutines(self, text: bytes, kept: Sequence[bytes]) -> bytes:
        """The private part with a `return` for each subroutine that no glyph calls any more."""
        found: dict[int, tuple[int, int, bytes]] = {}
        at = 0
        while match := _SUBROUTINE.search(text, at):
            end = match.end() + int(match[2])
            found[int(match[1])] = (match.start(), end, self._charstring(text[match.end() : end]))
            at = end
        used = self._called(found, kept)
        for number in sorted(set(found) - used - {0, 1, 2, 3}, reverse=True):
            start, end, _ = found[number]
            data = self._encrypted(b"\x0b")
            mark = _SUBROUTINE.match(text, start)
            if mark is not None:
                stub = b"dup %d %d %s %s" % (number, len(data), mark[3], data)
                text = text[:start] + stub + text[end:]
        return text

    def _called(
        self, subroutines: dict[int, tuple[int, int, bytes]], kept: Sequence[bytes]
    ) -> set[int]:
        """Subroutines that these glyphs call; all of them where it cannot be told."""
        used: set[int] = set()
        waiting = [self._charstring(data) for data in kept]
        while waiting:
            program = self._program(waiting.pop())
            for at, token in enumerate(program):
                if token != "callsubr":  # noqa: S105  # an operator
                    continue
                called = program[at - 1] if at else None
                if program[max(at - 4, 0) : at] == [1, 3, "callothersubr", "pop"]:
                    called = program[at - 5] if at >= 5 else None  # other hints (8.3)
                if not isinstance(called, int):
                    return set(subroutines)
                if called in subroutines and called not in used:
                    used.add(called)
                    waiting.append(subroutines[called][2])
        return used


def _taken_apart(data: bytes) -> tuple[bytes, bytes]:
    """The clear part up to and with `eexec`, and the decrypted one."""
    if data[:1] == b"\x80":
        data = _without_segments(data)
    at = data.find(b"currentfile eexec")
    if at < 0:
        raise UnknownProgram
    at += len(b"currentfile eexec")
    while data[at : at + 1] in (b"\r", b"\n", b" ", b"\t"):
        at += 1
    hidden = data[at:]
    if _HEX.match(hidden[:8]):
        digits = re.sub(rb"[^0-9A-Fa-f]", b"", hidden)
        hidden = bytes.fromhex(digits[: len(digits) // 2 * 2].decode())
    return data[:at], bytes(eexec.decrypt(hidden, _EEXEC_KEY)[0])


def _without_segments(data: bytes) -> bytes:
    """A PFB file without the heads of its segments."""
    out, at = b"", 0
    while data[at : at + 1] == b"\x80" and data[at + 1 : at + 2] in (b"\1", b"\2"):
        length = int.from_bytes(data[at + 2 : at + 6], "little")
        out += data[at + 6 : at + 6 + length]
        at += 6 + length
    return out

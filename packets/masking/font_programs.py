"""What is asked of a font program, whatever its format, and how one is opened.

Glyphs go by their number in the program (for Type 3 and Type 1 fonts: by the
place of their name). fontTools is loaded here and in the formats' own files,
and only when a program has to be looked into.
"""

import contextlib
import logging
import struct
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Protocol

import pikepdf
from pikepdf import Dictionary, Stream


class UnknownProgram(Exception):
    """A font program cannot be read, or not be written anew."""


@dataclass(frozen=True)
class Change:
    """What becomes of a program's glyphs."""

    gone: frozenset[int]
    """Glyphs that are left out, or emptied where glyphs go by number."""
    kept: frozenset[int]
    """Glyphs that codes stand for, and their parts."""
    places: Mapping[int, int] = field(default_factory=dict)
    """Glyph -> its new number, among the numbers that these glyphs and the gone ones had."""
    codes: Mapping[int, int] = field(default_factory=dict)
    """Code -> new code, for encodings within the program; for CID-keyed programs of CIDs."""
    gone_codes: frozenset[int] = frozenset()
    names: Mapping[str, str] = field(default_factory=dict)
    """Glyph name -> new one, where names only count the glyphs."""


class Program(Protocol):
    """A font program that was read."""

    count: int
    by_name: bool
    """Whether encodings find glyphs by name (or CID), so that their numbers are free."""
    fixed: frozenset[int]
    """Glyphs that keep their number: the one for what is missing."""

    def glyphs_of_code(self, code: int, name: str | None) -> set[int]:
        """Glyphs that a reader may find for a code of a simple font with this glyph name."""

    def glyph_of_cid(self, cid: int) -> int | None:
        """The glyph of a CID."""

    def text(self, glyph: int) -> str:
        """The character that the program itself takes a glyph for; empty: it does not say."""

    def name(self, glyph: int) -> str | None:
        """The name by which encodings find a glyph, where they do."""

    def outline(self, glyph: int) -> bytes:
        """The glyph's own data; empty where it draws nothing."""

    def parts(self, glyph: int) -> set[int]:
        """Other glyphs that it is put together from."""

    def rewritten(self, change: Change) -> None:
        """Write the program anew where it came from."""


PARSER_ERRORS = (
    ArithmeticError, AssertionError, AttributeError, LookupError, TypeError, ValueError,
    NameError, NotImplementedError, RuntimeError, OSError, struct.error, pikepdf.PdfError,
)  # fmt: skip
"""What parsers of fonts raise over a broken one."""


def program_stream(descriptor: object) -> tuple[str, Stream] | None:
    """The key and stream of an embedded program."""
    if isinstance(descriptor, Dictionary):
        for key in ("/FontFile", "/FontFile2", "/FontFile3"):
            stream = descriptor.get(key)
            if isinstance(stream, Stream):
                return key, stream
    return None


def open_program(descriptor: object, *, composite: bool) -> Program | None:
    """The program of a font descriptor; None without one. Raises `UnknownProgram`."""
    found = program_stream(descriptor)
    if found is None:
        return None
    logging.getLogger("fontTools").addHandler(logging.NullHandler())
    logging.getLogger("fontTools").propagate = False  # its warnings quote the font
    with broken_programs_unknown():
        return _opened(*found, composite)


@contextlib.contextmanager
def broken_programs_unknown() -> Iterator[None]:
    """Turn whatever a broken program makes its parser raise into `UnknownProgram`."""
    try:
        yield
    except ImportError:
        raise
    except Exception as error:
        if not isinstance(error, _parser_errors()):
            raise
        raise UnknownProgram from error


def _parser_errors() -> tuple[type[Exception], ...]:
    from fontTools.misc.psCharStrings import CharStringCompileError  # noqa: PLC0415  # lazily
    from fontTools.ttLib import TTLibError  # noqa: PLC0415

    return (*PARSER_ERRORS, TTLibError, CharStringCompileError)


def _opened(key: str, stream: Stream, composite: bool) -> Program:
    from packets.masking.compact_programs import CompactProgram  # noqa: PLC0415  # lazily
    from packets.masking.true_type_programs import TrueTypeProgram  # noqa: PLC0415
    from packets.masking.type_one_programs import TypeOneProgram  # noqa: PLC0415

    data = stream.read_bytes()
    if data[:2] == b"%!" or data[:1] == b"\x80":
        return TypeOneProgram(data, stream)
    if data[:4] == b"OTTO" or data[:1] == b"\x01":
        return CompactProgram(data, stream, composite=composite)
    return TrueTypeProgram(data, stream, with_length=key == "/FontFile2")


def closed_over_parts(program: Program, glyphs: Iterable[int]) -> set[int]:
    """Glyphs with all those that they are put together from."""
    known: set[int] = set()
    waiting = list(glyphs)
    while waiting:
        glyph = waiting.pop()
        if glyph not in known and 0 <= glyph < program.count:
            known.add(glyph)
            waiting.extend(program.parts(glyph) - known)
    return known

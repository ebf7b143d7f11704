"""What a font dictionary says of its codes, taken out of it and written back in one form.

Codes go by number. For a composite font with an identity encoding a code is
its CID (ISO 32000-2, 9.7.5.2); an embedded CMap tells the CIDs of others.
"""

from collections.abc import Iterable, Mapping
from functools import cached_property

import pikepdf
from pikepdf import Array, Dictionary, Name, Object, Stream

from packets.identifiers.digits import fold
from packets.masking.font_codes import (
    CodeSpace,
    Mapped,
    UnknownCodes,
    read_code_map,
    read_unicode_map,
    told,
    write_unicode_map,
)
from packets.masking.font_programs import program_stream

_IDENTITY = ("/Identity-H", "/Identity-V")
_LARGEST = 70_000
_SYMBOLIC = 4


class FontTables:
    """One font, simple or composite. Raises `UnknownCodes` when it cannot be followed."""

    def __init__(self, font: Dictionary) -> None:
        self.font = font
        self.kind = str(font.get("/Subtype", ""))
        self.composite = self.kind == "/Type0"
        self.inner: Object = font.DescendantFonts[0] if self.composite else font
        self.space, self._cids = self._read_space()
        self.unicode = self._read_unicode()
        self.names = self._read_differences()
        self.widths = _read_w(self.inner.get("/W")) if self.composite else self._read_widths()
        mapping = self.inner.get("/CIDToGIDMap")
        self.glyph_numbers = mapping.read_bytes() if isinstance(mapping, Stream) else None
        self.down = _read_w2(self.inner.get("/W2")) if self.composite else {}

    @property
    def descriptor(self) -> Object | None:
        return self.inner.get("/FontDescriptor")

    @property
    def embedded(self) -> bool:
        return program_stream(self.descriptor) is not None

    @property
    def identity(self) -> bool:
        """Whether codes are CIDs."""
        return self.composite and self._cids is None

    def cid(self, code: int) -> int:
        return code if self._cids is None else self._cids.get(code, 0)

    def _read_space(self) -> tuple[CodeSpace, dict[int, int] | None]:
        if not self.composite:
            return CodeSpace(1), None
        encoding = self.font.get("/Encoding")
        if isinstance(encoding, Stream):
            return read_code_map(encoding.read_bytes())
        if str(encoding) not in _IDENTITY:
            raise UnknownCodes
        return CodeSpace(2), None

    def _read_unicode(self) -> dict[int, Mapped] | None:
        stream = self.font.get("/ToUnicode")
        if not isinstance(stream, Stream):
            return None
        mapped = read_unicode_map(stream.read_bytes())
        return {code: text for code, text in mapped.items() if self._is_code(code)}

    def _is_code(self, code: int) -> bool:
        """Whether a string can hold it; what a table says of others is said of nothing."""
        return 0 <= code < (1 << 8 * (self.space.length or 4))

    def _read_differences(self) -> dict[int, str]:
        encoding = self.font.get("/Encoding")
        names: dict[int, str] = {}
        if self.composite or not isinstance(encoding, Dictionary):
            return names
        code = 0
        for item in encoding.get("/Differences", Array()):
            if isinstance(item, Name):
                if self._is_code(code):
                    names[code] = str(item)[1:]
                code += 1
            else:
                code = int(item)
        return names

    def _read_widths(self) -> dict[int, Object]:
        first = int(self.font.get("/FirstChar", 0))
        listed = enumerate(self.font.get("/Widths", Array()), start=first)
        return {code: width for code, width in listed if self._is_code(code)}

    @cached_property
    def base_names(self) -> Mapping[int, str]:
        """Glyph names by the base encoding; empty where it is the program's own."""
        from packets.masking.glyph_names import names_of_encoding  # noqa: PLC0415  # lazily

        encoding = self.font.get("/Encoding")
        if isinstance(encoding, Dictionary):
            encoding = encoding.get("/BaseEncoding")
        if self.kind in ("/Type0", "/Type3"):
            return {}
        if isinstance(encoding, Name):
            return names_of_encoding(str(encoding)[1:])
        symbolic = self.descriptor is not None and int(self.descriptor.get("/Flags", 0)) & _SYMBOLIC
        if self.embedded and (self.kind != "/TrueType" or symbolic or not self.names):
            return {}
        return names_of_encoding("StandardEncoding")

    def name(self, code: int) -> str | None:
        """The glyph name that the dictionary gives a code of a simple font."""
        return self.names.get(code, self.base_names.get(code))

    def text(self, code: int) -> str:
        """The character of a code by this dictionary; empty: it does not say."""
        if self.unicode is not None and code in self.unicode:
            text = told(self.unicode[code].text)
            if text:
                return text
        name = None if self.composite else self.name(code)
        if name is None:
            return ""
        from packets.masking.glyph_names import text_of_name  # noqa: PLC0415  # lazily

        return text_of_name(name)

    def listed(self) -> set[int]:
        """Codes that the dictionary speaks of one by one."""
        codes = set(self.unicode or ()) | set(self.names)
        if not self.composite:
            return codes | {code for code, width in self.widths.items() if width}
        return codes | (set(self.widths) if self.identity else set(self._cids or ()))

    def is_sorted(self) -> bool:
        """Whether every table lists its codes in their order, not in that of their use."""
        tables = (self.unicode or {}, self.names, self.widths, self.down)
        return all(list(table) == sorted(table) for table in tables)

    def write(
        self, gone: Iterable[int], moves: Mapping[int, int], names: Mapping[str, str]
    ) -> None:
        """Write every table anew without `gone`, each code and name with its new one."""
        lost = set(gone)
        if self.unicode is not None:
            kept = {moves.get(c, c): mapped for c, mapped in self.unicode.items() if c not in lost}
            if moves:
                kept = _handed_out(kept, self.unicode)
            self.font.ToUnicode.write(write_unicode_map(kept, self.space))
        if self.composite:
            self._write_composite({self.cid(code) for code in lost}, moves)
        else:
            self._write_simple(lost, moves, names)
        if self.descriptor is not None:
            for key in ("/AvgWidth", "/MaxWidth", "/CharSet", "/CIDSet"):
                if key in self.descriptor:
                    del self.descriptor[key]

    def _write_composite(self, lost: set[int], moves: Mapping[int, int]) -> None:
        if "/W" in self.inner:
            widths = {moves.get(c, c): w for c, w in self.widths.items() if c not in lost}
            self.inner.W = _array_of_w({cid: [width] for cid, width in widths.items()})
        if "/W2" in self.inner:
            down = {moves.get(c, c): w for c, w in self.down.items() if c not in lost}
            self.inner.W2 = _array_of_w(down)

    def _write_simple(
        self, lost: set[int], moves: Mapping[int, int], names: Mapping[str, str]
    ) -> None:
        if "/Widths" in self.font:
            widths = {
                moves.get(c, c): w for c, w in self.widths.items() if c not in lost and w != 0
            }
            first, last = min(widths, default=0), max(widths, default=0)
            self.font.FirstChar, self.font.LastChar = first, last
            self.font.Widths = Array([widths.get(c, 0) for c in range(first, last + 1)])
        named = {**{code: self.base_names[code] for code in moves if code in self.base_names},
                 **self.names}  # fmt: skip
        if named and (self.names or any(code != new for code, new in moves.items())):
            encoding = self.font.get("/Encoding", Dictionary(Type=Name.Encoding))
            if isinstance(encoding, Name):
                encoding = Dictionary(Type=Name.Encoding, BaseEncoding=encoding)
            kept = {moves.get(c, c): names.get(n, n) for c, n in named.items() if c not in lost}
            self.font.Encoding = Dictionary(
                {**dict(encoding.items()), "/Differences": _differences(kept)}
            )


def _handed_out(kept: dict[int, Mapped], before: Mapping[int, Mapped]) -> dict[int, Mapped]:
    """Values that say nothing but count the codes, in the order of the codes."""
    free = sorted(mapped.utf16 for mapped in before.values() if not told(mapped.text))
    counting = sorted(code for code, mapped in kept.items() if not told(mapped.text))
    new = {
        code: Mapped(kept[code].length, value) for code, value in zip(counting, free, strict=False)
    }
    return {**kept, **new}


def is_digit(text: str) -> bool:
    """Whether a code that stands for this text shows a digit, of any script."""
    plain = text if text.isascii() else fold(text).text
    return any("0" <= char <= "9" for char in plain)


def digits_in(texts: Iterable[str]) -> set[str]:
    """The digits among these texts, in the plain form."""
    return {char for text in texts for char in fold(text).text if "0" <= char <= "9"}


def _differences(names: Mapping[int, str]) -> Array:
    items: list[object] = []
    before = -2
    for code, name in sorted(names.items()):
        if code != before + 1:
            items.append(code)
        items.append(Name("/" + name))
        before = code
    return Array(items)


def _read_w(array: Object | None) -> dict[int, Object]:
    """`c [w1 w2 …]` or `first last w` (9.7.4.3)."""
    widths: dict[int, Object] = {}
    items = list(array) if array is not None else []
    at = 0
    while at + 1 < len(items):
        first = int(items[at])
        if isinstance(items[at + 1], Array):
            widths.update((first + k, width) for k, width in enumerate(items[at + 1]))
            at += 2
        elif at + 2 < len(items):
            codes = range(first, int(items[at + 1]) + 1)
            if len(codes) > _LARGEST:
                raise UnknownCodes
            widths.update(dict.fromkeys(codes, items[at + 2]))
            at += 3
        else:
            break
    return widths


def _read_w2(array: Object | None) -> dict[int, list[Object]]:
    """`c [w v v …]` or `first last w v v`: three numbers for each CID."""
    found: dict[int, list[Object]] = {}
    items = list(array) if array is not None else []
    at = 0
    while at + 1 < len(items):
        first = int(items[at])
        if isinstance(items[at + 1], Array):
            numbers = list(items[at + 1])
            for k in range(len(numbers) // 3):
                found[first + k] = numbers[3 * k : 3 * k + 3]
            at += 2
        else:
            codes = range(first, int(items[at + 1]) + 1)
            if len(codes) > _LARGEST:
                raise UnknownCodes
            found.update((code, items[at + 2 : at + 5]) for code in codes)
            at += 5
    return found


def _array_of_w(values: Mapping[int, list[Object]]) -> Array:
    items: list[object] = []
    run: list[Object] = []
    before = -2
    for cid, numbers in sorted(values.items()):
        if cid != before + 1:
            run = []
            items.extend((cid, run))
        run.extend(numbers)
        before = cid
    return Array([Array(item) if isinstance(item, list) else item for item in items])


TABLE_ERRORS = (UnknownCodes, AttributeError, TypeError, ValueError, LookupError, pikepdf.PdfError)
"""What reading a broken font dictionary raises."""

"""Fonts that may call their glyphs by other names than they show.

A font is believed where its own dictionary says what its codes are: a standard
encoding, no map to Unicode that says otherwise (ISO 32000-2, 9.6.5, 9.10), and
an embedded program that draws what it names. Type 3 and composite fonts,
built-in encodings and contradicting maps are not believed; what such a font
draws on the page is compared with what it is called, each glyph once.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import pymupdf
from PIL import Image

_STANDARD = frozenset({"WinAnsiEncoding", "MacRomanEncoding", "StandardEncoding"})
_SCALE = 150 / 72
_LARGEST_SIDE = 4000
_PRIVATE = range(0xE000, 0xF900)
_UNKNOWN = 0xFFFD
_LOOK_ALIKES = frozenset("oOlI|!'\u2019ij")
_ENOUGH = 3
"""So many different glyphs must be drawn as digits under other names."""
_ENOUGH_NAMELESS = 4
_MAPPED = re.compile(rb"<([0-9A-Fa-f]{2})>\s*<([0-9A-Fa-f]{4})>(?!\s*<)")
_MAPPED_RANGE = re.compile(rb"<([0-9A-Fa-f]{2})>\s*<([0-9A-Fa-f]{2})>\s*<([0-9A-Fa-f]{4})>")
_INVISIBLE = 3
"""PyMuPDF's type of a span that is not painted."""

Key = tuple[frozenset[int], str, int, int]


@dataclass
class GlyphNames:
    """What has been learned of a document's fonts so far."""

    _believed: dict[int, bool] = field(default_factory=dict)
    _false: dict[Key, bool] = field(default_factory=dict)

    def misnamed_spans(self, page: pymupdf.Page) -> tuple[list[dict[str, Any]], frozenset[int]]:
        """The page's traced spans, and the numbers of those whose glyphs bear false names."""
        doubtful: dict[str, set[int]] = {}
        believed: set[str] = set()
        for xref, ext, kind, name, _, encoding, *_ in page.get_fonts():
            if xref not in self._believed:
                embedded = ext != "n/a"
                self._believed[xref] = _is_believed(page.parent, xref, kind, encoding, embedded)
            if self._believed[xref]:
                believed.add(_traced_name(name))
            else:
                doubtful.setdefault(_traced_name(name), set()).add(xref)
        if not doubtful:
            return [], frozenset()
        spans = page.get_texttrace()
        candidates = [
            k
            for k, span in enumerate(spans)
            if _traced_name(span["font"]) in doubtful or _traced_name(span["font"]) not in believed
        ]
        every = frozenset(xref for xrefs in doubtful.values() for xref in xrefs)
        self._compare(page, [spans[k] for k in candidates], every)
        return spans, frozenset(self._judged(spans, candidates, every))

    def _compare(
        self, page: pymupdf.Page, spans: list[dict[str, Any]], fonts: frozenset[int]
    ) -> None:
        """Compare every glyph that is new with what it is called."""
        from packets.masking.outlined_shapes import (  # noqa: PLC0415 - most fonts are believed
            glyph_shape,
            is_hidden_digit,
        )

        picture: Image.Image | None = None
        scale = min(_SCALE, _LARGEST_SIDE / max(page.rect.width, page.rect.height, 1.0))
        for span in spans:
            if span["type"] == _INVISIBLE:
                continue
            for code, glyph, _, box in span["chars"]:
                key = (fonts, span["font"], glyph, code)
                if key in self._false or _is_space(code):
                    continue
                if picture is None:
                    picture = page_as_it_lies(page, scale)
                shape = glyph_shape(
                    picture, tuple(side * scale for side in box), dark_on_light=False
                )
                if shape is not None:
                    self._false[key] = is_hidden_digit(shape, _name(code))

    def _judged(
        self, spans: list[dict[str, Any]], candidates: list[int], fonts: frozenset[int]
    ) -> Iterator[int]:
        """Spans of the faces in which enough glyphs bear false names, or none at all."""
        hidden: dict[str, set[int]] = {}
        nameless: dict[str, set[int]] = {}
        for k in candidates:
            face = spans[k]["font"]
            for code, glyph, _, _ in spans[k]["chars"]:
                if _is_nameless(code):
                    nameless.setdefault(face, set()).add(glyph)
                if self._false.get((fonts, face, glyph, code)) and _name(code) not in _LOOK_ALIKES:
                    hidden.setdefault(face, set()).add(glyph)
        for k in candidates:
            face = spans[k]["font"]
            if (
                len(hidden.get(face, ())) >= _ENOUGH
                or len(nameless.get(face, ())) >= _ENOUGH_NAMELESS
            ):
                yield k


def page_as_it_lies(page: pymupdf.Page, scale: float) -> Image.Image:
    """The page in grey, before it is turned to be shown; `scale` pixels to a point."""
    pixels = page.get_pixmap(
        matrix=page.derotation_matrix * pymupdf.Matrix(scale, scale),
        colorspace=pymupdf.csGRAY,
        alpha=False,
    )
    return Image.frombytes("L", (pixels.width, pixels.height), pixels.samples)


def _is_believed(
    document: pymupdf.Document, xref: int, kind: str, encoding: str, embedded: bool
) -> bool:
    if kind in ("Type0", "Type3") or xref <= 0:
        return False
    mapped = document.xref_get_key(xref, "ToUnicode")
    if mapped[0] == "xref" and not _agrees(document, int(mapped[1].split()[0])):
        return False
    if not embedded:
        return mapped[0] != "xref" or encoding in _STANDARD
    if encoding not in _STANDARD:
        return False
    from packets.masking.outlined_programs import (  # noqa: PLC0415 - for embedded fonts alone
        draws_what_it_names,
    )

    return draws_what_it_names(document, xref, encoding)


def _agrees(document: pymupdf.Document, xref: int) -> bool:
    """Whether a map to Unicode says of the codes of ASCII what the standard encodings say."""
    try:
        data = document.xref_stream(xref) or b""
    except (RuntimeError, ValueError):
        return False
    for first, last, char in _MAPPED_RANGE.findall(data):
        start = int(first, 16)
        if any(
            not _same(code, int(char, 16) + code - start)
            for code in range(start, int(last, 16) + 1)
        ):
            return False
    return all(_same(int(code, 16), int(char, 16)) for code, char in _MAPPED.findall(data))


def _same(code: int, char: int) -> bool:
    return not 0x20 < code < 0x7F or code == char or code in (0x27, 0x2D, 0x60)


def _traced_name(name: str) -> str:
    return name.rsplit("+", maxsplit=1)[-1][:23]


def _name(code: int) -> str:
    return chr(code) if code > 0 else "\ufffd"


def _is_space(code: int) -> bool:
    return code in (0x20, 0xA0)


def _is_nameless(code: int) -> bool:
    return code in (_UNKNOWN, -1) or code in _PRIVATE or 0 <= code < 0x20

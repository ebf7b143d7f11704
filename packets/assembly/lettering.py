"""Names in every script: what the standard faces lack is set and embedded by MuPDF.

The standard 14 fonts print Latin-1 with a few extras (ISO 32000-2, annex D.2,
WinAnsiEncoding). Any other text (Vietnamese, Cyrillic, Greek, Hebrew, Arabic,
Indic scripts, Chinese, Japanese, Korean …) is shaped by MuPDF with the free
fonts that it carries, embedded as subsets. A letter that no font has is
printed as its code, U+XXXX: never as an empty box, never left out in silence.
"""

import html
from dataclasses import dataclass
from io import BytesIO

import pikepdf
import pymupdf

_SIZE = 20.0
"""Type size at which a text is set; it is scaled from there."""
_HARMONY = 0.9
"""The fonts found here run larger than the standard faces; this makes them look one size."""
_ORIGIN = 10.0
_HEIGHT = 60.0
_CELL = 2.5
"""Room for one letter, in type sizes; the widest letters of the fonts are narrower."""


def in_standard_faces(text: str) -> bool:
    """Whether the standard faces can print all of `text`."""
    try:
        encoded = text.encode("cp1252")
    except UnicodeEncodeError:
        return False
    return all(byte >= 0x20 for byte in encoded)


@dataclass(frozen=True)
class SetText:
    """One text, set. Measures are for a type size of 1."""

    text: str
    page: int
    """Page of the setting, from 0."""
    left: float
    baseline: float
    width: float


class Lettering:
    """Texts set by MuPDF, one on each page of a scratch document in memory."""

    def __init__(self) -> None:
        self._scratch = pymupdf.open()
        self._set: dict[str, SetText] = {}

    def close(self) -> None:
        """Let go of the scratch document; what was set can no longer become forms."""
        self._scratch.close()

    def __len__(self) -> int:
        return len(self._set)

    def set_text(self, text: str) -> SetText:
        """Set `text` on one line, once; later calls return the same."""
        known = self._set.get(text)
        if known is None:
            known = self._set[text] = self._set_new(text)
        return known

    def width(self, text: str, size: float) -> float:
        """Width of `text` in points at a type size."""
        return self.set_text(text).width * size

    def forms(self, pdf: pikepdf.Pdf) -> dict[str, pikepdf.Object]:
        """Every text as a form XObject of `pdf`; fonts are cut to what is used."""
        if not self._set:
            return {}
        self._scratch.subset_fonts()
        data = self._scratch.tobytes(garbage=4, deflate=True)
        with pikepdf.open(BytesIO(data)) as scratch:
            return {
                text: pdf.copy_foreign(scratch.pages[at.page].as_form_xobject())
                for text, at in self._set.items()
            }

    def _set_new(self, text: str) -> SetText:
        missing = self._write(text)
        if missing:
            self._scratch.delete_page(-1)
            spelt = "".join(f"U+{ord(c):04X}" if c in missing else c for c in text)
            self._write(spelt)
        page = self._scratch[-1]
        spans = [
            span
            for block in page.get_text("dict")["blocks"]
            for line in block.get("lines", ())
            for span in line["spans"]
        ]
        if not spans:
            return SetText(text, page.number, 0.0, 0.0, 0.0)
        left = min(span["bbox"][0] for span in spans)
        right = max(span["bbox"][2] for span in spans)
        baseline = _HEIGHT - spans[0]["origin"][1]
        return SetText(text, page.number, left / _SIZE, baseline / _SIZE, (right - left) / _SIZE)

    def _write(self, text: str) -> frozenset[str]:
        """Set `text` on a new page; return the letters that came out without a glyph."""
        wide = max(200.0, len(text) * _SIZE * _CELL)
        page = self._scratch.new_page(width=wide + 2 * _ORIGIN, height=_HEIGHT)
        page.insert_htmlbox(
            pymupdf.Rect(_ORIGIN, _ORIGIN, _ORIGIN + wide, _HEIGHT - _ORIGIN),
            f'<p style=\'margin:0;font-family:"Noto Serif";font-size:{_SIZE * _HARMONY}pt;'
            f"white-space:nowrap'>{html.escape(text)}</p>",
            scale_low=1,
        )
        if all(char[1] for span in page.get_texttrace() for char in span["chars"]):
            return frozenset()
        return frozenset(letter for letter in set(text) if not _has_glyph(letter))


def _has_glyph(letter: str) -> bool:
    """Whether any font that MuPDF carries prints `letter`."""
    scratch = pymupdf.open()
    try:
        page = scratch.new_page(width=200, height=_HEIGHT)
        page.insert_htmlbox(
            pymupdf.Rect(_ORIGIN, _ORIGIN, 190, _HEIGHT - _ORIGIN),
            f"<p style='font-family:\"Noto Serif\"'>{html.escape(letter)}</p>",
        )
        return all(char[1] for span in page.get_texttrace() for char in span["chars"])
    finally:
        scratch.close()


def show_form(name: str, at: SetText, x: float, y: float, size: float) -> bytes:
    """Content that shows a set text with its baseline starting at (x, y), marked with its text.

    /ActualText (ISO 32000-2, 14.9.4) gives readers the spelling where shaping changed it.
    """
    scale = size / _SIZE
    spelling = (b"\xfe\xff" + at.text.encode("utf-16-be")).hex()
    return (
        f"/Span <</ActualText <{spelling}>>> BDC q {scale:.5f} 0 0 {scale:.5f}"
        f" {x - at.left * size:.3f} {y - at.baseline * size:.3f} cm /{name} Do Q EMC\n"
    ).encode("ascii")

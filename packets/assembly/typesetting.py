"""Measures, faces and line breaks for the sheets that assembly prints itself."""

from dataclasses import dataclass, replace

from reportlab.pdfbase.pdfmetrics import stringWidth

from packets.assembly.lettering import Lettering, in_standard_faces

SHEET = (612.0, 792.0)
"""US Letter, in points: what the office and its clients print on."""
LEFT, RIGHT = 60.0, 552.0
"""Outer edges of the print, from the left edge of the sheet."""
COLUMN = 238.0
"""Left edge of the wide column; the narrow one beside it ends 28 pt before."""
NARROW = COLUMN - 28.0 - LEFT
BOTTOM = 66.0
"""Lowest baseline of the sheets' own print; the stamps go below."""

ROMAN, BOLD, ITALIC = "Times-Roman", "Times-Bold", "Times-Italic"
OTHER_SCRIPT = "other script"
"""Stands for the fonts that `lettering` finds."""


@dataclass(frozen=True)
class Type:
    """A face and its size, with the distance between baselines, in points."""

    face: str
    size: float
    leading: float

    def fit_for(self, text: str) -> "Type":
        """This type, or its stand-in where a standard face cannot print all of `text`."""
        return self if in_standard_faces(text) else replace(self, face=OTHER_SCRIPT)


TITLE = Type(ROMAN, 26, 31)
LONG_TITLE = Type(ROMAN, 20, 25)
HOUSEHOLD = Type(ITALIC, 14, 18)
SMALL = Type(ROMAN, 9.5, 12)
SECTION = Type(BOLD, 12, 16)
NOTE_HEADING = Type(BOLD, 9.5, 12)
NOTE = Type(ROMAN, 9.5, 12)
PART_ENTRY = Type(BOLD, 10.5, 15)
ENTRY = Type(ROMAN, 10.5, 14)


def text_width(text: str, kind: Type, lettering: Lettering) -> float:
    """Width of one line in points."""
    if kind.face != OTHER_SCRIPT:
        return float(stringWidth(text, kind.face, kind.size))
    return lettering.width(text, kind.size)


def broken_lines(text: str, kind: Type, room: float, lettering: Lettering) -> tuple[str, ...]:
    """`text` in lines no wider than `room` points; a word that is too wide is cut."""
    if text_width(text, kind, lettering) <= room:
        return (text,)
    lines: list[str] = []
    line = ""
    for word in text.split(" "):
        longer = f"{line} {word}" if line else word
        if text_width(longer, kind, lettering) <= room:
            line = longer
            continue
        if line:
            lines.append(line)
        *full, line = _cut_word(word, kind, room, lettering)
        lines.extend(full)
    return (*lines, line)


def _cut_word(word: str, kind: Type, room: float, lettering: Lettering) -> list[str]:
    pieces = []
    while len(word) > 1 and text_width(word, kind, lettering) > room:
        fits = len(word) - 1
        while fits > 1 and text_width(word[:fits], kind, lettering) > room:
            fits = min(fits - 1, fits * 3 // 4) if fits > 12 else fits - 1
        pieces.append(word[:fits])
        word = word[fits:]
    return [*pieces, word]

"""The masks of drawn numbers, as content-stream operators in default user space."""

from collections.abc import Sequence
from itertools import pairwise

from packets.masking.drawn_findings import CODE_NOTE
from packets.masking.drawn_records import DrawnFinding, PageBox

_WIDTHS = {"X": 0.667, "*": 0.389}
_DIGIT_WIDTH = 0.556
_CAP_HEIGHT = 0.718
"""Helvetica's metrics (Adobe Core 14)."""
_ROOM = 0.92
"""Share of the distance between digits that a mask may fill."""
_ALONE = 0.75
"""Room for a digit without neighbours, in heights."""
_WAYS = ((1, 0), (0, -1), (-1, 0), (0, 1))
"""Where upright text runs in default user space, for each count of quarter turns."""
_NOTE_WIDTH = 0.5
_LEAST_SIZE = 2.5


def mask_lettering(finding: DrawnFinding, met: Sequence[bool], font: str) -> bytes:
    """Show what stands where a finding's ink was taken out; empty when nothing is to be shown."""
    if finding.barcode:
        return _note(finding, font) if all(met) else b""
    tall = finding.turns % 2 == 0
    middles = [_middle(cell.box) for cell in finding.cells]
    steps = [max(abs(a[0] - b[0]), abs(a[1] - b[1])) for a, b in pairwise(middles)]
    shown = []
    heights = sorted(_height(cell.box, tall=tall) for cell in finding.cells)
    height = heights[len(heights) // 2]
    size = height / _CAP_HEIGHT
    room = min([step for step in steps if step > 0.1], default=_ALONE * height) * _ROOM
    widest = max(_width(cell.char) for cell in finding.cells)
    squeeze = min(1.0, room / (widest * size)) if widest else 1.0
    for cell, middle, hit in zip(finding.cells, middles, met, strict=True):
        if hit and cell.char.strip():
            width = _width(cell.char) * size * squeeze
            shown.append(_show(cell.char, middle, width, height, finding.turns))
    if not shown:
        return b""
    head = f"q {_colour(finding.colour)} BT {font} {size:.3f} Tf {squeeze * 100:.2f} Tz "
    return (head + " ".join(shown) + " ET Q\n").encode("ascii", "replace")


def _note(finding: DrawnFinding, font: str) -> bytes:
    box = finding.cells[0].box
    width, height = box[2] - box[0], box[3] - box[1]
    size = min(height * 0.4, width / (len(CODE_NOTE) * _NOTE_WIDTH) * _ROOM, 9.0)
    if size < _LEAST_SIZE:
        return b""
    wide = len(CODE_NOTE) * _NOTE_WIDTH * size
    text = _show(CODE_NOTE, _middle(box), wide, size * _CAP_HEIGHT, 0)
    return f"q 0 g BT {font} {size:.3f} Tf {text} ET Q\n".encode()


def _show(text: str, middle: tuple[float, float], width: float, height: float, turns: int) -> str:
    cosine, sine = _WAYS[turns]
    x = middle[0] - cosine * width / 2 + sine * height / 2
    y = middle[1] - sine * width / 2 - cosine * height / 2
    return f"{cosine} {sine} {-sine} {cosine} {x:.3f} {y:.3f} Tm ({text}) Tj"


def _middle(box: PageBox) -> tuple[float, float]:
    return (box[0] + box[2]) / 2, (box[1] + box[3]) / 2


def _height(box: PageBox, *, tall: bool) -> float:
    return max(box[3] - box[1] if tall else box[2] - box[0], 1.0)


def _width(char: str) -> float:
    return _WIDTHS.get(char, _DIGIT_WIDTH) if char.strip() else 0.0


def _colour(colour: Sequence[float]) -> str:
    operator = {1: "g", 3: "rg", 4: "k"}.get(len(colour))
    if operator is None:
        return "0 g"
    return " ".join(f"{part:.4f}" for part in colour) + f" {operator}"

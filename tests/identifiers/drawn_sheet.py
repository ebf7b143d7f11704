"""A page drawn glyph by glyph, without any PDF: what a reader hands to the finder."""

import random
from dataclasses import replace

from packets.identifiers.kinds import ALL_KINDS, KnownNumber, MaskPolicy
from packets.identifiers.layout import GlyphRun, find_on_page

EVERY_KIND = MaskPolicy(kinds=ALL_KINDS)
WIDTH = 0.5
"""Advance of every character, in type sizes."""


class DrawnSheet:
    """Texts at places, in points, y downward; a baseline each."""

    def __init__(self) -> None:
        self.runs: list[GlyphRun] = []

    def __repr__(self) -> str:
        drawn = [(run.x0[0], round(run.bottom, 1), run.text) for run in self.runs]
        return f"DrawnSheet({drawn})"

    def text(self, x: float, y: float, text: str, size: float = 10.0, pitch: float = 0.0):
        """Draw a text from its left end; `pitch` spreads its characters as a form's boxes do."""
        advance = pitch or WIDTH * size
        x0 = [x + k * advance for k in range(len(text))]
        x1 = [left + WIDTH * size for left in x0]
        self.runs.append(GlyphRun(text, x0, x1, y - 0.9 * size, y + 0.3 * size, self.count))
        return self

    @property
    def count(self) -> int:
        return sum(len(run.text) for run in self.runs)

    @property
    def drawn(self) -> str:
        return "".join(run.text for run in sorted(self.runs, key=lambda run: run.first))

    def one_glyph_each(self) -> "DrawnSheet":
        """The same page, every glyph drawn by itself."""
        sheet = DrawnSheet()
        sheet.runs = [
            GlyphRun(run.text[k], run.x0[k : k + 1], run.x1[k : k + 1], run.top, run.bottom,
                     run.first + k)
            for run in self.runs
            for k in range(len(run.text))
        ]  # fmt: skip
        return sheet

    def in_disorder(self, seed: int) -> "DrawnSheet":
        """The same page, drawn in another order; glyph numbers stay with their glyphs."""
        sheet = self.one_glyph_each()
        random.Random(seed).shuffle(sheet.runs)
        return sheet

    def printed_twice(self, shift: float = 0.3) -> "DrawnSheet":
        """The same page with every text drawn again a little to the right: cheap bold."""
        sheet = DrawnSheet()
        sheet.runs = list(self.runs)
        for run in self.runs:
            moved = [left + shift for left in run.x0], [right + shift for right in run.x1]
            sheet.runs.append(replace(run, x0=moved[0], x1=moved[1], first=sheet.count))
        return sheet

    def matches(self, known: tuple[KnownNumber, ...] = (), policy: MaskPolicy = EVERY_KIND):
        return find_on_page(self.runs, known, policy)

    def found(self, known: tuple[KnownNumber, ...] = (), policy: MaskPolicy = EVERY_KIND):
        """(kind, digits) for every number, in reading order."""
        drawn = self.drawn
        return [
            (str(match.kind), "".join(drawn[digit[0]] for digit in match.digits))
            for match in self.matches(known, policy)
        ]

    def masked(self, known: tuple[KnownNumber, ...] = ()) -> "DrawnSheet":
        """The same page after masking: X in place of the hidden digits."""
        gone = {
            number for match in self.matches(known) for digit in match.hidden for number in digit
        }
        sheet = DrawnSheet()
        sheet.runs = [
            replace(
                run,
                text="".join(
                    "X" if run.first + k in gone else char for k, char in enumerate(run.text)
                ),
            )
            for run in self.runs
        ]
        return sheet

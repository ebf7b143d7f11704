"""Hunting numbers in what the readers read: the shared finder and the crude scan together."""

import re
from collections.abc import Sequence

from packets.identifiers.find import find_in_text
from packets.identifiers.kinds import KnownNumber, MaskPolicy
from packets.identifiers.layout import GlyphRun, find_on_page
from packets.outbound.crude_scan import CrudeScan, Hit
from packets.outbound.lines_worth_reading import worth_reading

_FEW_DIGITS = re.compile(r"(?:\d[^\d]*+){5}")
"""Fewer than five digits cannot be a number that must not go out."""
_NEAR_NUMBER = re.compile(r"(?<![\d$.,])(?:\d[ \u2013\u2014.-]{0,3}){7,10}\d(?!\d)")
_LOOKALIKES = str.maketrans("OoQDIl|!SsBZzG", "00001111558226")
_LOOKALIKE_WORD = re.compile(r"(?<![A-Za-z])[0-9OoQDIl|!SsBZzG-]{4,}(?![A-Za-z])")
_COUNTED_DOWN = "987654321"
"""Reserved for advertising. The finder by place reads backwards too, and there every form that
counts its lines from 1 to 9 would answer to it; all other scans still look for it."""
_STRONGEST_FIRST = ("known number", "labelled", "shape", "bare run")


class Hunter:
    """Both scans for one file, with the rules for each sort of place."""

    def __init__(self, known: Sequence[KnownNumber], policy: MaskPolicy) -> None:
        self._known = tuple(known)
        self._known_on_page = tuple(n for n in known if n.digits.reveal() != _COUNTED_DOWN)
        self._policy = policy
        self.crude = CrudeScan(known, policy)

    def in_page(self, text: str) -> tuple[Hit, ...]:
        """Hits in text that is shown to a person: everything counts, bare runs too."""
        if text.isascii() and not _FEW_DIGITS.search(text):
            return ()
        return strongest(self._shared(text) | self.crude.on_page(text))

    def in_string(self, text: str) -> tuple[Hit, ...]:
        """Hits in a string that no page shows: a bare run may be anything there."""
        if text.isascii() and not _FEW_DIGITS.search(text):
            return ()
        shared = {hit for hit in self._shared(text) if hit.how_sure != "bare run"}
        return strongest(shared | self.crude.in_text(text))

    @property
    def has_known(self) -> bool:
        """Whether there is any number to look for by its digits."""
        return bool(self._known)

    def on_page(self, runs: Sequence[GlyphRun]) -> tuple[Hit, ...]:
        """Hits among glyphs by where they stand: a label counts beside or above its number."""
        found = find_on_page(runs, self._known_on_page, self._policy)
        return strongest({Hit(match.kind.value, match.sureness.words) for match in found})

    def in_recognised(self, text: str) -> tuple[Hit, ...]:
        """Known numbers and shapes in recognised text, letters taken for digits put right."""
        hits = self.crude.in_text(text, backwards=True, through_words=True)
        digits = _LOOKALIKE_WORD.sub(lambda word: word[0].translate(_LOOKALIKES), text)
        return strongest(hits | self.crude.in_text(digits) | self.crude.nearly_in(digits))

    def is_near_number(self, text: str) -> bool:
        """Whether recognised text holds digits that could be a number misread."""
        return _NEAR_NUMBER.search(text) is not None

    def in_digits(self, orders: Sequence[str]) -> tuple[Hit, ...]:
        """Known numbers among the bare digits of a page, in any of several orders."""
        hits: set[Hit] = set()
        for digits in orders:
            hits |= self.crude.in_text(digits, backwards=True, spaced=False)
        return strongest({hit for hit in hits if hit.how_sure == "known number"})

    def in_seams(self, joined: str) -> tuple[Hit, ...]:
        """Hits in shown strings run together: known numbers, and dashed shapes over the seams."""
        return strongest(self.crude.in_text(joined, spaced=False))

    def in_bytes(self, data: bytes, *, shapes: bool = True) -> tuple[Hit, ...]:
        """Hits in bytes of any meaning."""
        return strongest(self.crude.in_bytes(data, shapes=shapes))

    def _shared(self, text: str) -> set[Hit]:
        lines = worth_reading(text.replace("\r\n", "\n"))
        return {
            Hit(match.kind.value, match.how_sure)
            for match in find_in_text(lines, self._known, self._policy)
        }


def strongest(hits: set[Hit]) -> tuple[Hit, ...]:
    """One hit for each kind, the surest."""
    best: dict[str, Hit] = {}
    for hit in sorted(hits, key=lambda hit: _STRONGEST_FIRST.index(hit.how_sure)):
        best.setdefault(hit.kind, hit)
    return tuple(best[kind] for kind in sorted(best))

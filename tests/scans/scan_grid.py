"""Which papers are scanned in which ways: a sample by default, the whole grid on request.

Each resolution meets each skew for every paper; depth, quality, flaw and
direction go round beside them with steps that share no factor, so that every
pair of them comes up.
"""

import os
from collections.abc import Iterator
from itertools import product

from scan_faults import Flaw, Scan
from scan_papers import Paper, papers

WHOLE = bool(os.environ.get("WHOLE_SCAN_GRID"))
"""Set WHOLE_SCAN_GRID=1 for all scans (some ten minutes); otherwise a sample of them."""

_DPI = (150, 200, 300)
_SKEW = (0.0, 1.0, 2.0, 3.0)
_DEPTH = ((8, 90), (1, None), (8, 70), (8, 55), (8, 40))
_FLAWS = (Flaw.NONE, Flaw.NOISE, Flaw.FAINT, Flaw.NONE, Flaw.STAIN, Flaw.SHADOW, Flaw.BLUR,
          Flaw.FAX)  # fmt: skip
_TURNS = (0, 0, 1, 0, 0, 2, 0, 0, 0, 3, 0)
_ROUNDS = 2
_EVERY = 11
"""One in so many scans is in the sample."""


def whole_grid() -> Iterator[tuple[Paper, Scan]]:
    """Every paper at every resolution and skew, twice."""
    every = product(range(_ROUNDS), papers(), _DPI, _SKEW)
    for count, (turn, paper, dpi, skew) in enumerate(every):
        depth = _DEPTH[(count + turn) % len(_DEPTH)]
        flaw = _FLAWS[(count // 3 + 3 * turn + count) % len(_FLAWS)]
        quarter = _TURNS[count % len(_TURNS)]
        sign = 1 if count % 2 else -1
        if flaw is Flaw.FAX:
            depth = (1, None)
        yield paper, Scan(dpi, sign * skew if skew else 0.0, quarter, *depth, flaw)


def grid() -> list[tuple[Paper, Scan]]:
    """What the tests scan."""
    everything = list(whole_grid())
    return everything if WHOLE else everything[3::_EVERY]

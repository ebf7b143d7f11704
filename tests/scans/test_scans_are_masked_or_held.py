"""No number on a scanned page is missed: its digits are painted over, or the page is held.

WHOLE_SCAN_GRID=1 takes every scan of the grid instead of a sample.
"""

import pytest
from scan_faults import Scan
from scan_grid import grid
from scan_papers import papers
from scan_trial import Verdict, trial

_CLEAN = [Scan(200), Scan(300, skew=-1.0, bits=1, quality=None)]


@pytest.mark.parametrize(
    ("paper", "scan"), grid(), ids=[f"{paper.name} {scan}" for paper, scan in grid()]
)
def test_a_number_on_a_scan_is_masked_or_the_page_is_held(paper, scan):
    for known in (True, False):
        assert Verdict.MISSED not in trial(paper, scan, known=known).verdicts


@pytest.mark.parametrize("scan", _CLEAN, ids=str)
@pytest.mark.parametrize("paper", papers(), ids=lambda paper: paper.name)
def test_an_ordinary_scan_is_masked_without_being_held(paper, scan):
    """Forms with a box for each digit among them."""
    result = trial(paper, scan, known=False)
    assert set(result.verdicts) == {Verdict.MASKED}
    assert not result.held

"""A scan without any sign of a number is neither held nor painted on."""

import pytest
from clean_controls import controls
from outside_eye import changed_share, picture_in
from scan_faults import Scan
from scan_trial import masked
from scanned_pages import scanned

_SCANS = [Scan(200), Scan(150, skew=2.0, quarter_turns=1, quality=60)]


@pytest.mark.parametrize("scan", _SCANS, ids=str)
@pytest.mark.parametrize("paper", controls(), ids=lambda paper: paper.name)
def test_a_page_without_a_number_goes_out_as_it_was(paper, scan):
    page = scanned(paper, scan)
    result = masked(page.pdf)
    assert not result.masks
    assert not result.unread
    assert changed_share(page.picture, picture_in(result.pdf)) == 0

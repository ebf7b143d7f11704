"""Outlines of a number that nobody sees on the page can be taken out of the file all the same."""

import drawn_samples
import pytest
from drawn_samples import NUMBER, WIDTH, page_of, words

from packets.identifiers.kinds import ALL_KINDS, MaskPolicy
from packets.outbound.check import check_pdf
from packets.outbound.records import Judgement

BOX = " 50 480 300 60 re f "
HIDDEN = {
    "white on white": ("1 g", ""),
    "nearly white": ("0.98 g", ""),
    "yellow": ("1 1 0 rg", ""),
    "red on green": (f"0 0.51 0 rg {BOX} 1 0 0 rg", ""),
    "black on black": (f"0 g {BOX}", ""),
    "under a black box": ("0 g", f"0 g {BOX}"),
    "under a white box": ("0 g", f"1 g {BOX}"),
    "without any opacity": ("/None gs 0 g", ""),
}
RESOURCES = {"ExtGState": {"/None": {"/ca": 0, "/CA": 0}}}


def judged(pdf: bytes) -> Judgement:
    policy = MaskPolicy(kinds=ALL_KINDS)
    return check_pdf(pdf, name="a.pdf", passphrase=None, known=(), policy=policy).judgement


@pytest.mark.parametrize(("before", "after"), HIDDEN.values(), ids=HIDDEN)
@pytest.mark.parametrize("within", ["on the page", "in a form"])
def test_a_number_in_outlines_that_the_page_hides_is_seen(
    before: str, after: str, within: str
) -> None:
    content = f"q {before} {drawn_samples.outline(NUMBER, 72, 500)} f Q q {after} Q"
    if within == "on the page":
        pdf = page_of(words("Paid to the borrower", 72, 560) + content, RESOURCES)
    else:
        form = drawn_samples.form(content, Resources=RESOURCES)
        pdf = page_of(words("Paid to the borrower", 72, 560) + " /Fm1 Do", form)
    assert judged(pdf) is Judgement.HELD


@pytest.mark.parametrize(("before", "after"), HIDDEN.values(), ids=HIDDEN)
def test_outlines_of_words_hold_nothing(before: str, after: str) -> None:
    outline = drawn_samples.outline("Larkspur", 72, 500)
    pdf = page_of(
        f"q {before} {outline} f Q q {after} Q {words('a firm', WIDTH / 2, 700)}", RESOURCES
    )
    assert judged(pdf) is Judgement.CLEAN

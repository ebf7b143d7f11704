"""Long work apart: its steps, its errors, its end; a crash there is told here."""

import os
import time

import pytest

from packets.base.errors import Held, OurFault
from packets.base.progress import Step
from packets.review.apart import Apart
from packets.review.works import Busy, Works


def does(what, progress):
    """One piece of work, as a test wants it."""
    progress(Step("beginning", what))
    if what == "held":
        raise Held("a number would go out", remedy="Look.")
    if what == "faulty":
        raise ValueError("987-65-4321 was in the way")
    if what == "killed":
        os._exit(9)
    if what == "long":
        time.sleep(60)
    return what.upper()


def test_steps_are_heard_and_the_result_comes_back():
    heard = []
    assert Apart(does, "well").result(heard.append) == "WELL"
    assert heard == [Step("beginning", "well")]


@pytest.mark.parametrize(
    ("what", "kind", "words"),
    [
        ("held", Held, "would go out"),
        ("faulty", OurFault, "ValueError"),
        ("killed", OurFault, "without a word"),
    ],
)
def test_whatever_goes_wrong_is_told_without_what_it_held(what, kind, words):
    with pytest.raises(kind, match=words) as told:
        Apart(does, what).result(lambda step: None)
    assert "987" not in str(told.value)


def test_one_work_of_a_name_is_under_way_at_a_time_and_ends_with_the_pages():
    works = Works()
    works.start("a", does, "long", then=str)
    with pytest.raises(Busy):
        works.start("a", does, "well", then=str)
    while works.standing("a").phase != "running":
        time.sleep(0.02)
    works.close()
    standing = works.standing("a")
    assert (standing.phase, standing.under_way) == ("failed", False)
    assert "ended before" in standing.what


def test_what_came_of_it_is_kept_in_words():
    works = Works()
    works.start("a", does, "well", then=lambda result: f"it is {result}").result(30)
    works.start("b", does, "held", then=str).result(30)
    assert (works.standing("a").phase, works.standing("a").what) == ("done", "it is WELL")
    assert (works.standing("b").phase, works.standing("b").remedy) == ("failed", "Look.")
    assert works.standing("c").phase == "none"
    works.close()

"""The rate and the time left, by a clock that is handed in."""

from pathlib import Path

from packets.base.errors import ExitStatus
from packets.batch.pace import Pace
from packets.batch.records import ClientOutcome, Ending


def outcome(ending: Ending, seconds: float) -> ClientOutcome:
    return ClientOutcome(Path("x"), ending, ExitStatus.CLEAN, seconds=seconds)


def test_rate_and_time_left_follow_from_what_ended():
    now = [0.0]
    pace = Pace(total=110, workers=2, clock=lambda: now[0])
    assert pace.seconds_left == 0.0
    for _ in range(9):
        pace.ended(outcome(Ending.DONE, 6.0))
    pace.ended(outcome(Ending.HELD, 6.0))
    now[0] = 30.0
    assert pace.a_minute == 20.0
    assert pace.seconds_left == 100 * 6.0 / 2
    assert pace.words() == "9 done, 1 held; 20.0 clients a minute, about 5 min left"


def test_the_last_client_is_not_shared_by_two_workers():
    pace = Pace(total=2, workers=2, clock=lambda: 1.0)
    pace.ended(outcome(Ending.DONE, 8.0))
    assert pace.seconds_left == 8.0


def test_the_time_left_is_told_in_a_unit_that_fits():
    for total, words in ((3, "about 20 s"), (500, "about 83 min"), (5000, "about 13.9 h")):
        pace = Pace(total, workers=1, clock=lambda: 1.0)
        pace.ended(outcome(Ending.DONE, 10.0))
        assert pace.words().endswith(f"{words} left")

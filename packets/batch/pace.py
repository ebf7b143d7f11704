"""How fast a batch goes, and how long the rest will take."""

import time
from collections import Counter, deque
from collections.abc import Callable

from packets.batch.records import ClientOutcome, Ending

_LATEST = 200
"""Built clients that tell what the next will take; the first and largest are soon forgotten."""


class Pace:
    """Counts endings; the time left rests on the clients that were really built."""

    def __init__(
        self, total: int, workers: int, clock: Callable[[], float] = time.monotonic
    ) -> None:
        self._total, self._workers, self._clock = total, max(1, workers), clock
        self._started = clock()
        self._counts: Counter[Ending] = Counter()
        self._seconds: deque[float] = deque(maxlen=_LATEST)

    def ended(self, outcome: ClientOutcome) -> None:
        """One more."""
        self._counts[outcome.ending] += 1
        self._seconds.append(outcome.seconds)

    @property
    def a_minute(self) -> float:
        """Clients a minute since the start."""
        passed = self._clock() - self._started
        return 60 * self._counts.total() / passed if passed > 0 else 0.0

    @property
    def seconds_left(self) -> float:
        """By what the latest clients took, shared by the workers."""
        if not self._seconds:
            return 0.0
        left = self._total - self._counts.total()
        each = sum(self._seconds) / len(self._seconds)
        return left * each / min(self._workers, max(1, left))

    def words(self) -> str:
        """`3 done, 1 held; 42.0 clients a minute, about 5 min left`."""
        counted = ", ".join(f"{self._counts[e]} {e.value}" for e in Ending if self._counts[e])
        return f"{counted}; {self.a_minute:.1f} clients a minute, {_left(self.seconds_left)} left"


def _left(seconds: float) -> str:
    if seconds < 90:
        return f"about {seconds:.0f} s"
    if seconds < 90 * 60:
        return f"about {seconds / 60:.0f} min"
    return f"about {seconds / 3600:.1f} h"

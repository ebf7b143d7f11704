"""Whether somebody is still there: the time since the last request that was let in."""

import threading
import time
from collections.abc import Callable

Clock = Callable[[], float]


class Presence:
    """Seconds of silence, counted against a stated time. Safe to ask from several threads."""

    def __init__(self, idle_seconds: float, clock: Clock = time.monotonic) -> None:
        self.idle_seconds = idle_seconds
        self._clock = clock
        self._last = clock()
        self._lock = threading.Lock()

    def seen(self) -> None:
        """Somebody was here just now."""
        with self._lock:
            self._last = self._clock()

    def gone(self) -> bool:
        """Whether nobody was here for the stated time."""
        with self._lock:
            return self._clock() - self._last >= self.idle_seconds

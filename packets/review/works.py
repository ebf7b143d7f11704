"""Long work of the pages: one at a time, each in a process of its own, its steps remembered."""

import threading
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from typing import Any, Literal

from packets.base.errors import OurFault, PacketsError
from packets.base.progress import Step
from packets.review.apart import Apart
from packets.review.words import shown

Phase = Literal["none", "waiting", "running", "done", "failed"]
MOST_WAITING = 200
"""Pieces of work that may stand in line."""


@dataclass(frozen=True)
class Standing:
    """How far one piece of work is; words for a person."""

    phase: Phase = "none"
    station: str = ""
    """What is being done now, in words."""
    done: int = 0
    total: int = 0
    what: str = ""
    """What went wrong, or what came of it."""
    remedy: str = ""

    @property
    def under_way(self) -> bool:
        """Whether an end is still to come."""
        return self.phase in ("waiting", "running")


class Busy(Exception):
    """This very work is under way already."""


class Works:
    """Everything that was started, by a key of the caller's. Safe to ask from several threads."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._line = ThreadPoolExecutor(1, thread_name_prefix="review-work")
        self._standing: dict[str, Standing] = {}
        self._now: Apart | None = None
        self._closed = False

    def standing(self, key: str) -> Standing:
        """How far the work under this key is."""
        with self._lock:
            return self._standing.get(key, Standing())

    def all(self) -> dict[str, Standing]:
        """Everything that was started and has not ended."""
        with self._lock:
            return {key: one for key, one in self._standing.items() if one.under_way}

    def start(
        self, key: str, work: Callable[..., Any], *given: object, then: Callable[[Any], str]
    ) -> Future[None]:
        """Put work in line. `then` takes its result and says in words what came of it.

        Raises Busy where it is under way, or too much is.
        """
        with self._lock:
            under_way = [one for one in self._standing.values() if one.under_way]
            if self._standing.get(key, Standing()).under_way or len(under_way) >= MOST_WAITING:
                raise Busy
            self._standing[key] = Standing("waiting", "waiting for the work before it")
        return self._line.submit(self._run, key, work, given, then)

    def close(self) -> None:
        """End what is under way and wait until it has ended."""
        with self._lock:
            self._closed = True
            if self._now is not None:
                self._now.end()
        self._line.shutdown(wait=True, cancel_futures=True)

    def _run(
        self,
        key: str,
        work: Callable[..., Any],
        given: tuple[object, ...],
        then: Callable[[Any], str],
    ) -> None:
        try:
            words = then(self._apart(key, work, given))
            self._say(key, Standing("done", what=words))
        except PacketsError as error:
            self._say(key, Standing("failed", what=shown(str(error)), remedy=shown(error.remedy)))
        except Exception as problem:  # told by its kind; a page waits for an end
            fault = OurFault(f"the work could not be ended ({type(problem).__name__})")
            self._say(key, Standing("failed", what=fault.what, remedy=fault.remedy))

    def _apart(self, key: str, work: Callable[..., Any], given: tuple[object, ...]) -> Any:
        with self._lock:
            if self._closed:
                raise OurFault("the pages were ended before this began")
            self._now = apart = Apart(work, *given)
            self._standing[key] = Standing("running", "beginning")
        try:
            return apart.result(lambda step: self._hear(key, step))
        finally:
            with self._lock:
                self._now = None

    def _hear(self, key: str, step: Step) -> None:
        now = Standing("running", step.station, step.done, step.total)
        with self._lock:
            self._standing[key] = now

    def _say(self, key: str, standing: Standing) -> None:
        with self._lock:
            self._standing[key] = standing

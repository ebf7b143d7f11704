"""A process that is made early, loads what its work needs meanwhile, and waits for orders.

It holds none of what its maker learns later but what an order tells it, goes on
between orders, and ends with its maker. Where no second process can be made, or where
it dies, the work is done here after all. So callers get the same result either way.
"""

import contextlib
import importlib
import os
import pickle
import signal
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import Any, BinaryIO, cast

from packets.base.alongside import end_copy, forked, may_copy, outcome_of, send, taken
from packets.base.loading import loading
from packets.base.progress import Progress, Step

Work = Callable[[Any, Progress], Any]
"""What an order and a way to tell progress are given to."""


@dataclass(frozen=True)
class WorkPlace:
    """Where the work is found: a function that loads and starts all, and returns the work."""

    module: str
    made_ready: str

    def work(self) -> Work:
        """The work itself, ready for orders."""
        with loading():
            module = importlib.import_module(self.module)
        return cast(Work, getattr(module, self.made_ready)())


class AtHand:
    """The process, as its maker sees it."""

    def __init__(self, place: WorkPlace) -> None:
        self._place = place
        self._work: Work | None = None
        self._child = 0
        self._pipes: tuple[BinaryIO, BinaryIO] | None = None
        if may_copy():
            self._child, self._pipes = _made(place)

    def do(self, order: object, progress: Progress) -> Any:
        """The result of one order. Raises whatever the work raises."""
        if self._pipes is not None:
            try:
                return self._asked(order, progress)
            except (EOFError, OSError, pickle.UnpicklingError):
                self.end()
        self._work = self._work or self._place.work()
        return self._work(order, progress)

    def _asked(self, order: object, progress: Progress) -> Any:
        assert self._pipes is not None
        orders, answers = self._pipes
        send(orders, order)
        while True:
            # Our own process wrote it, into a pipe without a name.
            answer = pickle.load(answers)  # noqa: S301
            if not isinstance(answer, Step):
                return taken(answer)
            progress(answer)

    def end(self) -> None:
        """End the process, whatever it is about."""
        if self._pipes is None:
            return
        end_copy(self._child)
        for pipe in self._pipes:
            with contextlib.suppress(OSError):
                pipe.close()
        self._pipes = None


@contextlib.contextmanager
def at_hand(place: WorkPlace) -> Iterator[AtHand]:
    """Make the process; whoever leaves the block ends it."""
    process = AtHand(place)
    try:
        yield process
    finally:
        process.end()


def _made(place: WorkPlace) -> tuple[int, tuple[BinaryIO, BinaryIO]]:
    told, orders = os.pipe()
    answers, telling = os.pipe()
    child = forked()
    if child:
        os.close(told)
        os.close(telling)
        return child, (os.fdopen(orders, "wb"), os.fdopen(answers, "rb"))
    os.close(orders)
    os.close(answers)
    _serve(place, told, telling)
    raise AssertionError("unreachable")


def _serve(place: WorkPlace, told: int, telling: int) -> None:
    """The process's whole life. It ends without the clearing up that is its maker's to do."""
    status = 1
    try:
        signal.signal(signal.SIGINT, signal.SIG_DFL)
        work = place.work()
        with os.fdopen(told, "rb") as orders, os.fdopen(telling, "wb") as answers:
            _take_orders(work, orders, answers)
        status = 0
    finally:
        os._exit(status)


def _take_orders(work: Work, orders: BinaryIO, answers: BinaryIO) -> None:
    """One after the other, until its maker has ended."""
    while True:
        try:
            order = pickle.load(orders)  # noqa: S301 - our maker's own pipe
        except EOFError:
            return
        send(answers, outcome_of(partial(work, order, partial(send, answers))))

"""Work on many items, shared out between this process and a copy: whoever is free takes one."""

import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing
from typing import TypeVar

from packets.base.alongside import alongside, may_copy

T = TypeVar("T")
R = TypeVar("R")

_TOKEN = 4
"""Bytes; a token says which items its taker is to do."""
_MOST_TOKENS = 10_000
"""So many fit into a pipe at once."""


def shared_out(
    items: Sequence[T],
    work: Callable[[T], R],
    tell: Callable[[T], None] = lambda _: None,
    *,
    many: int = 2,
) -> list[R]:
    """What `work` makes of each item, in their order.

    From `many` items on, where a copy can be made and a processor may be free, both
    processes take items until none is left, so that neither waits long for the other.
    What a copy dies with is done here. `tell` hears of the items that this process takes,
    never of the copy's: a copy must not draw on the terminal. Raises whatever the work
    raises.
    """

    def here(item: T) -> R:
        tell(item)
        return work(item)

    if len(items) < many or not may_copy():
        return [here(item) for item in items]
    with (
        closing(_Bag(len(items))) as bag,
        alongside(lambda: {at: work(items[at]) for at in bag.places()}) as others,
    ):
        done = {at: here(items[at]) for at in bag.places()}
        done |= others.result()
    return [done[at] if at in done else here(item) for at, item in enumerate(items)]


class _Bag:
    """The places of items that nobody has taken yet; both processes draw from it."""

    def __init__(self, count: int) -> None:
        self._count = count
        self._run = -(-count // _MOST_TOKENS)
        self._tokens, writing = os.pipe()
        with os.fdopen(writing, "wb") as pipe:
            for first in range(0, count, self._run):
                pipe.write(first.to_bytes(_TOKEN))

    def places(self) -> Iterator[int]:
        """Places one by one, until the bag is empty."""
        while token := os.read(self._tokens, _TOKEN):
            first = int.from_bytes(token)
            yield from range(first, min(first + self._run, self._count))

    def close(self) -> None:
        os.close(self._tokens)

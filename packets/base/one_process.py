"""A hand-in for work that must not spread: whoever runs it has filled the processors already."""

import contextlib
from collections.abc import Iterator
from contextvars import ContextVar

_KEPT_IN: ContextVar[bool] = ContextVar("kept in one process", default=False)


@contextlib.contextmanager
def in_one_process() -> Iterator[None]:
    """Inside, `alongside` makes no copies: several workers do not crowd each other's processors."""
    token = _KEPT_IN.set(True)
    try:
        yield
    finally:
        _KEPT_IN.reset(token)


def kept_in_one_process() -> bool:
    """Whether the work at hand has to stay in this process."""
    return _KEPT_IN.get()

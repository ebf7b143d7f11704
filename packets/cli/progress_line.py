"""Progress as one line on standard error, only while somebody can see it."""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Iterator
from typing import TYPE_CHECKING

from packets.base.progress import Progress, Step, silent
from packets.cli.plain_text import plain

if TYPE_CHECKING:
    from rich.status import Status


@contextlib.contextmanager
def progress_on_terminal() -> Iterator[Progress]:
    """A listener that shows the newest step; it hears nothing where there is no terminal.

    The line appears with the first step, so that a question for a passphrase
    before it is not drawn over, and it is gone when the run ends.
    """
    if not sys.stderr.isatty():
        yield silent
        return
    line = _Line()
    try:
        yield line.show
    finally:
        line.end()


class _Line:
    """The line, which appears with the first step."""

    def __init__(self) -> None:
        self._status: Status | None = None

    def show(self, step: Step) -> None:
        from rich.text import Text  # noqa: PLC0415 - the help of a command has no steps

        if self._status is None:
            self._status = _status_line()
        self._status.update(Text(words_of(step), no_wrap=True, overflow="ellipsis"))
        self._status.start()

    def end(self) -> None:
        if self._status is not None:
            self._status.stop()


def _status_line() -> Status:
    from rich.console import Console  # noqa: PLC0415 - as above

    return Console(stderr=True, highlight=False, markup=False, emoji=False).status("")


def words_of(step: Step) -> str:
    """A step in words: `masking  documents/return.pdf  3 of 12`."""
    counted = f"{step.done} of {step.total}" if step.total else ""
    return "  ".join(word for word in (plain(step.station), plain(step.detail), counted) if word)

"""Progress as one line on standard error, only while somebody can see it."""

import contextlib
import sys
from collections.abc import Iterator

from rich.console import Console
from rich.text import Text

from packets.base.progress import Progress, Step, silent
from packets.cli.plain_text import plain


@contextlib.contextmanager
def progress_on_terminal() -> Iterator[Progress]:
    """A listener that shows the newest step; it hears nothing where there is no terminal.

    The line appears with the first step, so that a question for a passphrase
    before it is not drawn over, and it is gone when the run ends.
    """
    if not sys.stderr.isatty():
        yield silent
        return
    console = Console(stderr=True, highlight=False, markup=False, emoji=False)
    status = console.status("")

    def show(step: Step) -> None:
        status.update(Text(words_of(step), no_wrap=True, overflow="ellipsis"))
        status.start()

    try:
        yield show
    finally:
        status.stop()


def words_of(step: Step) -> str:
    """A step in words: `masking  documents/return.pdf  3 of 12`."""
    counted = f"{step.done} of {step.total}" if step.total else ""
    return "  ".join(word for word in (plain(step.station), plain(step.detail), counted) if word)

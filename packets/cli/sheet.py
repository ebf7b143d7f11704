"""Headings, lists and columns on the screen; every text that goes through here is made plain."""

from collections.abc import Sequence

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from packets.cli.plain_text import plain, printable


class Verbatim(str):
    """A digest or a path of ours: shown whole, because a part of it would be of no use.

    A digest may hold nine decimal digits in a row by chance; our own paths are
    named after the engagement, which is never a taxpayer number.
    """


Cell = str | tuple[str, str]
"""A text, or a text and its style. A style never says anything that the words do not."""
GOOD = "bold green"
BAD = "bold red"
WIDE_ENOUGH = 100
"""Columns. Longer lines are hard to read, so wider terminals are not filled."""


def say(console: Console, *cells: Cell) -> None:
    """One paragraph."""
    console.print(Text.assemble(*(_text(cell) for cell in cells)), width=_width(console))


def heading(console: Console, words: str) -> None:
    """An empty line and a heading."""
    console.print()
    console.print(Text(plain(words), style="bold"), width=_width(console))


def columns(
    console: Console,
    rows: Sequence[Sequence[Cell]],
    *,
    narrow: Sequence[int] = (),
    names: Sequence[str] = (),
) -> None:
    """Rows in columns without rules, two blanks to the left, wrapped inside their column.

    `narrow` columns keep their words on one line; the others share what is left.
    """
    table = Table(
        box=None,
        show_header=bool(names),
        header_style="underline",
        padding=(0, 2, 0, 0),
        pad_edge=False,
        collapse_padding=True,
    )
    for number in range(len(rows[0]) if rows else 0):
        name = names[number] if names else ""
        keep = number in narrow
        table.add_column(name, no_wrap=keep, overflow="fold", ratio=None if keep else 1)
    for row in rows:
        table.add_row(*(_text(cell) for cell in row))
    console.print(Padding(table, (0, 0, 0, 2), expand=False), width=_width(console))


def lines(console: Console, rows: Sequence[tuple[str, str]]) -> None:
    """A word and a path or digest on one line each, never cut, so that it can be copied."""
    widest = max(len(word) for word, _ in rows)
    for word, text in rows:
        console.print(Text.assemble("  ", word.ljust(widest + 2), _text(text)), soft_wrap=True)


def points(console: Console, sentences: Sequence[str]) -> None:
    """Sentences, each behind a hyphen."""
    for sentence in sentences:
        table = Table.grid(padding=(0, 1, 0, 0))
        table.add_column(width=3)
        table.add_column(overflow="fold")
        table.add_row("  -", _text(sentence))
        console.print(table, width=_width(console))


def _text(cell: Cell) -> Text:
    if isinstance(cell, Verbatim):
        return Text(printable(cell))
    words, style = (cell, "") if isinstance(cell, str) else cell
    return Text(plain(words), style=style)


def _width(console: Console) -> int:
    return min(console.width, WIDE_ENOUGH)

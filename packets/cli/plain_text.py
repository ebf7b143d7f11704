"""Text that is safe to show, whatever file or title it came from.

Names of files and titles of pages are written by others. A terminal obeys
control characters, and an office may have named a scan after a taxpayer
number; neither may pass through to the screen.
"""

from collections.abc import Iterable

from packets.intake.page_ranges import page_range_text
from packets.sealing.number_free import without_numbers


def plain(text: str) -> str:
    """`text` made printable, with shaped numbers cut to the last four.

    The net for numbers is deliberately crude: a message loses nothing when an
    invoice number is cut as well.
    """
    return without_numbers(printable(text))


def printable(text: str) -> str:
    """`text` with `?` for every control, direction or undecodable character; line feeds stay."""
    return "".join(letter if letter.isprintable() or letter == "\n" else "?" for letter in text)


def page_ranges(pages: Iterable[int]) -> str:
    """Page numbers as a person reads them: `1-3, 5`."""
    return page_range_text(tuple(pages)).replace(",", ", ")


def pages_in_words(pages: Iterable[int]) -> str:
    """`page 3` or `pages 1-3, 5`."""
    numbers = sorted(set(pages))
    return f"page{'' if len(numbers) == 1 else 's'} {page_ranges(numbers)}"


def count_of(number: int, one: str) -> str:
    """`1 page`, `2 pages`."""
    return f"{number} {one}{'' if number == 1 else 's'}"

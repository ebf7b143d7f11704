"""The amounts that a signature form shows: Form 8879, Part I, lines 1 to 5, printed or filled in.

What cannot be read for certain is not there: a page that only OCR can read gives
nothing, and neither does a line with two amounts that differ.
"""

import re
from collections.abc import Iterable, Iterator

import pymupdf

from packets.base.errors import Damaged
from packets.reading.ocr import OcrReader
from packets.reading.page_text import read_page
from packets.reading.records import PageText
from packets.signatures.rule import FormFigures

_LINES = (
    # Number and label of the line, and the key of [grant.figures].
    ("1", r"total income\b", "total_income"),
    ("1", r"adjusted gross income\b", "agi"),
    ("2", r"total tax\b", "total_tax"),
    (
        "3",
        r"(?:federal )?income tax withheld\b(?: from forms? ?(?:\(s\))?[^.]*?1099)?",
        "withholding",
    ),
    ("4", r"(?:amount you want )?refund(?:ed to you)?\b", "refund"),
    ("5", r"amount you owe\b", "amount_owed"),
)
_LABELS = tuple(
    (number, key, re.compile(rf"^{number}[a-z]?[. ]+{label}(?P<rest>.*)$"))
    for number, label, key in _LINES
)
_AMOUNT = re.compile(
    r"^(?P<loss>\(|-|−)?\$?(?P<digits>\d{1,3}(?:,\d{3})*|\d+)(?:\.(?:00)?)?(?P<end>\))?$"
)
_ZERO = "-0-"
"""How preparers write that a line is nothing."""
_FILLER = re.compile(r"^[.\s·…_$]*$")
_BEGINS = re.compile(r"^part i\b")
_ENDS = re.compile(r"^part ii\b")
_FORM = re.compile(r"\b88(?:79|78)\b")
_MAY_BE_EMPTY = ("total_tax", "withholding", "refund", "amount_owed")
"""Printed empty for nothing. The income never is, and of refund and amount owed one is printed."""


def figures_on_page(pdf: bytes, ocr: OcrReader, page: int) -> FormFigures | None:
    """The amounts on a page (from 1) in whole dollars, or None where they cannot be read.

    Raises Damaged when the page cannot be opened.
    """
    try:
        with pymupdf.open(stream=pdf, filetype="pdf") as document:
            text = read_page(document, page - 1, ocr)
    except (pymupdf.FileDataError, pymupdf.mupdf.FzErrorBase, RuntimeError, ValueError, IndexError):
        raise Damaged("this page cannot be read", where=f"page {page}") from None
    return figures_in(text)


def pages_with_form(pdf: bytes) -> tuple[int, ...]:
    """Pages (from 1) whose own text names Form 8879 or 8878; those of a scan are not looked at.

    Raises Damaged when the document cannot be opened.
    """
    try:
        with pymupdf.open(stream=pdf, filetype="pdf") as document:
            return tuple(
                number
                for number, page in enumerate(document, start=1)
                if _FORM.search(page.get_text())
            )
    except (pymupdf.FileDataError, pymupdf.mupdf.FzErrorBase, RuntimeError, ValueError):
        raise Damaged("this document cannot be read") from None


def figures_in(text: PageText) -> FormFigures | None:
    """The amounts in the lines of a page; None unless all that the form asks for is certain."""
    if text.read_by != "text":
        return None
    lines = [" ".join(line.text.lower().replace("’", "'").split()) for line in text.lines]
    if not any(_FORM.search(line) for line in lines):
        return None
    found: dict[str, int | None] = {}
    for key, amounts in _labelled(_first_part(lines)):
        if key in found or len(set(amounts)) > 1:
            return None  # two lines of one kind, or two amounts on one line
        found[key] = amounts[0] if amounts else None
    return _certain(found)


def _first_part(lines: Iterable[str]) -> Iterator[str]:
    """The lines of Part I: what other parts say about amounts is not an amount."""
    inside = False
    for line in lines:
        if inside and _ENDS.search(line):
            return
        inside = inside or bool(_BEGINS.search(line))
        if inside:
            yield line


def _labelled(lines: Iterable[str]) -> Iterator[tuple[str, list[int]]]:
    for line in lines:
        for number, key, label in _LABELS:
            match = label.match(line)
            if match:
                amounts = _amounts(match["rest"], number)
                if amounts is not None:
                    yield key, amounts
                else:
                    yield key, [0, 1]  # something stands there that is no amount: not certain
                break


def _amounts(rest: str, number: str) -> list[int] | None:
    """The amounts behind a label; None where anything else stands among them.

    Forms print the number of the line once more in front of the amount.
    """
    words = [word.lstrip(".·…_") for word in rest.split() if not _FILLER.match(word)]
    while words and re.fullmatch(r"[a-z();,:']+", words[0]):
        words.pop(0)  # the rest of a longer label
    if words and words[0] in (number, f"{number}."):
        words.pop(0)
    amounts = []
    for word in words:
        match = _AMOUNT.match(word)
        if word == _ZERO:
            amounts.append(0)
            continue
        if match is None or bool(match["end"]) != (match["loss"] == "("):
            return None
        amount = int(match["digits"].replace(",", ""))
        amounts.append(-amount if match["loss"] else amount)
    return amounts


def _certain(found: dict[str, int | None]) -> FormFigures | None:
    if any(key not in found for key in _MAY_BE_EMPTY):
        return None
    if found["refund"] is None and found["amount_owed"] is None:
        return None
    incomes = [found[key] for key in ("total_income", "agi") if key in found]
    if not incomes or any(income is None for income in incomes):
        return None
    return {key: amount or 0 for key, amount in found.items()}

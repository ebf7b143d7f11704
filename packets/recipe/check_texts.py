"""Texts that end up in front of people: on pages, in file names, in a mail's subject."""

import re
from collections.abc import Iterator

from packets.recipe.draft import (
    PlacedText,
    TomlTable,
    draft_parts,
    draft_places,
    table_in,
    text_in,
)
from packets.recipe.key_faults import KeyFault

_BRACES = re.compile(r"\{[^{}]*\}|[{}]")
_TAX_YEAR = "{tax_year}"
_IN_BODY = (_TAX_YEAR, "{household}", "{office}")
_NINE_DIGITS = re.compile(r"\d(?:[\W_]?\d){8}")
_DATE_CODE = re.compile(r"%(.?)")
_DATE_CODES = frozenset("mdYyBb%")


def filled_in(text: str, tax_year: int) -> str:
    """A title or subject with its tax year; the one thing that is ever filled in there."""
    return text.replace(_TAX_YEAR, str(tax_year))


def filled_body(text: str, *, tax_year: int, household: str, office: str) -> str:
    """The body of a mail; what is filled in is not looked at for braces again."""
    words = dict(zip(_IN_BODY, (str(tax_year), household, office), strict=True))
    return _BRACES.sub(lambda found: words.get(found[0], found[0]), text)


def check_texts(recipe: TomlTable) -> Iterator[KeyFault]:
    """Line breaks, placeholders nobody fills in, numbers, empty texts, impossible dates."""
    filled, plain = _shown_texts(recipe)
    for placed in (*filled, *plain):
        yield from _unfit(placed)
    for placed in filled:
        if any(found != _TAX_YEAR for found in _BRACES.findall(placed.text)):
            yield KeyFault(
                placed.at, "only the tax year is filled in here; no other braces", _TAX_YEAR
            )
    body = text_in(table_in(recipe, "mail"), "body", ("mail",))
    if body is not None:
        yield from _unfit(PlacedText(body.at, body.text.replace("\n", " ").replace("\t", " ")))
        if any(found not in _IN_BODY for found in _BRACES.findall(body.text)):
            yield KeyFault(body.at, "nothing else is filled in here", ", ".join(_IN_BODY))
    for placed in plain:
        if _BRACES.search(placed.text):
            yield KeyFault(placed.at, "nothing is filled in here; leave out the braces")
    for place in draft_places(recipe):
        if place.date_format is not None:
            yield from _date_format(place.date_format)


def _shown_texts(recipe: TomlTable) -> tuple[list[PlacedText], list[PlacedText]]:
    """Texts in which the tax year is filled in, and those that stay as they are."""
    filled = [text_in(recipe, "title"), text_in(table_in(recipe, "mail"), "subject", ("mail",))]
    plain = [
        text_in(recipe, "name"),
        text_in(table_in(recipe, "stamp"), "text", ("stamp",)),
        *(part.heading for part in draft_parts(recipe)),
    ]
    return [text for text in filled if text], [text for text in plain if text]


def _unfit(placed: PlacedText) -> Iterator[KeyFault]:
    if not placed.text.isprintable():
        # A line break in a subject would begin a mail header of its own (RFC 5322, 2.2).
        yield KeyFault(placed.at, "no line breaks or control characters here; one line of text")
    elif placed.text and not placed.text.strip():
        yield KeyFault(placed.at, "this text is blank")
    if _NINE_DIGITS.search(placed.text):
        yield KeyFault(placed.at, "nine digits or more could be somebody's number; not here")


def _date_format(placed: PlacedText) -> Iterator[KeyFault]:
    codes = _DATE_CODE.findall(placed.text)
    if not codes or any(code not in _DATE_CODES for code in codes):
        yield KeyFault(
            placed.at,
            "this is not a way to print a date",
            "%m month, %d day, %Y year (%y two digits, %B or %b name of the month)",
        )

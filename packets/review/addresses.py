"""Names in the addresses of the pages: they tell nothing and lead only to what is listed.

A folder may be called by a person's name or number, and addresses stand in the history
of a browser. So a client and a recipe are each addressed by letters made from a digest,
and what comes in an address is looked up among what there is; no path is made of it.
"""

import hashlib
from collections.abc import Iterable

from packets.decisions.records import ClientRow, RecipeRow

LENGTH = 16
_LETTERS = str.maketrans("0123456789abcdef", "abcdefghijklmnop")


def letters_for(text: str) -> str:
    """Sixteen small letters, the same for the same text; no digit among them."""
    digest = hashlib.sha256(text.encode("utf-8", "surrogateescape")).hexdigest()
    return digest[:LENGTH].translate(_LETTERS)


def client_letters(row: ClientRow) -> str:
    """How a client folder is addressed."""
    return letters_for(str(row.folder))


def recipe_letters(recipe: str) -> str:
    """How a recipe of a client is addressed, by its name."""
    return letters_for(recipe)


def client_at(letters: str, rows: Iterable[ClientRow]) -> ClientRow | None:
    """The client folder with this address, if there is one."""
    return next((row for row in rows if client_letters(row) == letters), None)


def recipe_at(letters: str, row: ClientRow) -> RecipeRow | None:
    """The recipe of that client with this address, if something was built by it."""
    return next((one for one in row.recipes if recipe_letters(one.recipe) == letters), None)

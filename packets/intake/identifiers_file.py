"""`identifiers.toml`: the numbers that the office knows and wants masked everywhere."""

import re
import unicodedata
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated, Any

from pydantic import Field

from packets.base.secret import Secret
from packets.identifiers.kinds import NINE_DIGIT_KINDS, Kind, KnownNumber
from packets.intake.engagement import entries
from packets.recipe.key_faults import KeyFault
from packets.recipe.loader import load_file
from packets.recipe.model import Table

IDENTIFIERS_FILE = "identifiers.toml"

LENGTHS: dict[Kind, tuple[int, int]] = {
    **dict.fromkeys(NINE_DIGIT_KINDS, (9, 9)),
    Kind.CARD: (8, 19),  # ISO/IEC 7812
    # Below five digits a number is no longer hunted without hitting years and line numbers.
    Kind.ACCOUNT: (5, 20),
    Kind.IP_PIN: (5, 6),
}
"""Fewest and most digits of each kind."""
_LONGEST_TEXT = 60
_ENDS = re.compile(r"^[A-Za-z]{0,6}(?=\W*\d)|(?<=\d)\W*[A-Za-z]{0,6}$")


class IdentifierEntry(Table):
    """One number and whose it is."""

    kind: Kind
    value: Annotated[str, Field(repr=False, json_schema_extra={"secret": True})]
    holder: Annotated[str, Field(max_length=120)] = ""


class IdentifiersFile(Table):
    """The whole file."""

    identifier: tuple[IdentifierEntry, ...] = ()


def load_identifiers(path: Path) -> tuple[KnownNumber, ...]:
    """The numbers of `path`, each once, in the order of the file.

    Raises `FileFaults` with all faults; none of them repeats a value.
    """
    loaded = load_file(path, IdentifiersFile, identifier_faults)
    known: dict[tuple[Kind, str], KnownNumber] = {}
    for entry in loaded.identifier:
        digits = digits_of(entry.kind, entry.value)
        if digits is not None:  # always, or load_file had named it
            number = KnownNumber(entry.kind, Secret(digits), holder=entry.holder, given=True)
            known.setdefault((entry.kind, digits), number)
    return tuple(known.values())


def identifier_faults(table: Any) -> Iterator[KeyFault]:
    """Values that cannot be what their kind says."""
    for position, entry in entries(table, "identifier"):
        kind, value = entry.get("kind"), entry.get("value")
        named = next((known for known in Kind if known.value == kind), None)
        if named and isinstance(value, str) and digits_of(named, value) is None:
            yield KeyFault(
                ("identifier", position, "value"),
                f"this cannot be a number of the kind {named}",
                _in_words(named),
            )
        holder = entry.get("holder")
        if isinstance(holder, str) and sum(mark.isdigit() for mark in holder) >= 5:
            yield KeyFault(
                ("identifier", position, "holder"),
                "this holds many digits, and the holder is shown in reports",
                "a role or a name",
            )


def digits_of(kind: Kind, value: str) -> str | None:
    """The ASCII digits of a value as somebody wrote it; None when it cannot be of this kind.

    Spaces, dots, slashes and dashes of any script fall away. An account number
    may begin or end with a few letters: the digits are what is hunted.
    """
    if len(value) > _LONGEST_TEXT:
        return None
    text = unicodedata.normalize("NFKC", value).strip()
    if kind is Kind.ACCOUNT:
        text = _ENDS.sub("", text)
    digits = ""
    for mark in text:
        number = unicodedata.decimal(mark, None)
        if number is not None:
            digits += str(number)
        elif mark not in "./" and unicodedata.category(mark) not in ("Pd", "Zs", "Cf"):
            return None
    fewest, most = LENGTHS[kind]
    return digits if fewest <= len(digits) <= most else None


def _in_words(kind: Kind) -> str:
    fewest, most = LENGTHS[kind]
    count = f"{fewest}" if fewest == most else f"{fewest} to {most}"
    letters = ", with letters only at the ends" if kind is Kind.ACCOUNT else ""
    return f"{count} digits, with spaces and dashes as you like{letters}"

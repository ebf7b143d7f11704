"""Kinds of numbers as a preparer says them."""

from packets.identifiers.kinds import Kind

_WORDS: dict[str, str] = {
    Kind.SSN: "Social Security number",
    Kind.ITIN: "ITIN",
    Kind.ATIN: "ATIN",
    Kind.EIN: "EIN",
    Kind.ACCOUNT: "account number",
    Kind.CARD: "card number",
    Kind.IP_PIN: "identity or signing PIN",
    "region": "blanked region",
}
"""By the word that files use; a region that a person hides stands among the masks, too."""


def kind_in_words(kind: str) -> str:
    """`Social Security number` for `ssn`; an unknown kind stays as it is."""
    return _WORDS.get(kind, kind)

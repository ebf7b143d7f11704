"""What a person types about a decision: a name, a note, a reason."""

from packets.base.errors import UsageError
from packets.sealing.number_free import holds_number

LONGEST_NAME = 80
LONGEST_NOTE = 500


def demand_name(who: str) -> str:
    """The name of the person who decides. Raises `UsageError` where it is missing or no name."""
    return demand_plain(who, "your name", most=LONGEST_NAME)


def demand_plain(text: str, what: str, *, most: int) -> str:
    """One line of words, white space made even.

    Raises `UsageError` for none, for too many, for what cannot be printed, and for a
    number shaped like a taxpayer's, which no ledger, manifest or engagement.toml may hold.
    """
    words = " ".join(text.split())
    if not words:
        raise UsageError(f"{what} is missing", remedy="Type it in, then decide again.")
    if len(words) > most:
        raise UsageError(f"{what} has more than {most} characters", remedy="Say it shorter.")
    if not words.isprintable():
        raise UsageError(f"{what} holds characters that are not text")
    if holds_number(words):
        raise UsageError(
            f"{what} holds a number that may be a taxpayer's",
            remedy="Say it without the number, or with its last four digits only.",
        )
    return words

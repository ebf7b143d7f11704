"""What a person says by signing on the screen, in plain words of our own. Not legal advice.

IRM 10.10.1 asks of an electronic signature: an acceptable form (the drawn mark), the
intent to sign, its association with the record, the identification of the signer, and
that the record stays whole. The sentence says the second and the third; the evidence
on the command line is the fourth, the SHA-256 of the document the fifth.
"""

import datetime as dt
from collections.abc import Sequence

from packets.recipe.model import Role
from packets.selection.titles import in_words

ROLE_WORDS = {
    Role.TAXPAYER: "the taxpayer",
    Role.SPOUSE: "the spouse",
    Role.ERO: "the electronic return originator (ERO)",
    Role.PREPARER: "the paid preparer",
    Role.OTHER: "the person named on the paper",
}


def consent_sentence(
    name: str, role: Role, file: str, pages: int, papers: str, until: dt.date
) -> str:
    """Intent to sign, and to which record the signature belongs."""
    who = f"I, {name}," if name else "I"
    counted = "1 page" if pages == 1 else f"{pages} pages"
    return (
        f"{who} have looked at the document “{file}” ({counted}) as this page shows it. By "
        f"drawing my signature and choosing Accept I mean to sign it electronically as "
        f"{ROLE_WORDS[role]}. I allow this office, until {said_day(until)}, to place the drawn "
        f"signature on the lines that ask for mine in: {papers}. It belongs to this "
        "document in the very version shown here."
    )


def papers_in_words(covers: Sequence[str]) -> str:
    """Categories as a person says them; a pattern is named as one."""
    return ", ".join(
        f"every paper of the kind {category}" if "*" in category else in_words(category)
        for category in covers
    )


def said_day(day: dt.date) -> str:
    """A date that is read the same everywhere: 15 October 2026."""
    return f"{day.day} {day:%B %Y}"

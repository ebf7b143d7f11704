"""How the pages say things: states, moments, counts. Nothing that a person wrote passes unread."""

import datetime as dt
import re
from pathlib import PurePath

from packets.decisions.records import ReviewCase, State
from packets.sealing.number_free import plain_text

_UNSEEN = re.compile("[\x00-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069]")
STATE_WORDS = {
    State.UNREADABLE: "Cannot be read",
    State.HELD: "Held",
    State.CHANGED: "Changed since",
    State.TO_REVIEW: "To review",
    State.RELEASED: "Released",
    State.NOTHING_BUILT: "Nothing built",
    State.BUILT: "Built",
    State.SENT: "Sent",
}
STATE_MEANS = {
    State.UNREADABLE: "A file of this folder has a fault. Put it right before you build.",
    State.HELD: "Something stands against this packet. It does not go out.",
    State.CHANGED: "What it was made from is not the same any more. Build again.",
    State.TO_REVIEW: "It waits for a person to look at it and decide.",
    State.RELEASED: "It may go out, and was not sent from here yet.",
    State.NOTHING_BUILT: "No packet was built from this folder yet.",
    State.BUILT: "A copy for the office or the agency. It goes to no client.",
    State.SENT: "It was sent.",
}
LONGEST_NOTE = 130
"""Characters of a note in a list."""
AUDIENCE_WORDS = {
    "client": "for the client",
    "third-party": "for a third party",
    "office": "for the office's own file",
    "agency": "for the agency, with full numbers",
}


def shown(text: str) -> str:
    """Words of a person or a file as a page may show them: any number cut to its last four.

    What cannot be seen and turns the order of what can (UAX #9), or ends a line, shows as a sign.
    """
    return _UNSEEN.sub("\ufffd", plain_text(text))


def counted(number: int, one: str, many: str = "") -> str:
    """`1 page`, `3 pages`."""
    return f"{number:,} {one if number == 1 else many or one + 's'}"


def moment(text: str) -> str:
    """A moment of the ledger on this machine's clock: `3 March 2026, 14:05`."""
    try:
        at = dt.datetime.fromisoformat(text).astimezone()
    except ValueError:
        return shown(text)
    return f"{at.day} {at:%B %Y, %H:%M}"


def short_moment(text: str) -> str:
    """The same for a table: `3 Mar 2026, 14:05`."""
    try:
        at = dt.datetime.fromisoformat(text).astimezone()
    except ValueError:
        return shown(text)
    return f"{at.day} {at:%b %Y, %H:%M}"


def cut(text: str, most: int = LONGEST_NOTE) -> str:
    """The beginning of a long text, up to a word's end."""
    words = shown(text)
    return words if len(words) <= most else f"{words[:most].rsplit(' ', 1)[0].rstrip(' ,;:.')} …"


def recipe_words(given: str) -> str:
    """A recipe as a list names it: a name, or the name of its file without the folders."""
    return shown(PurePath(given).name)


def what_it_is(case: ReviewCase) -> str:
    """`client-copy, for the client, 11 pages, encrypted`."""
    told = [case.recipe, AUDIENCE_WORDS.get(case.audience, case.audience)]
    if case.packet is not None:
        told.append(counted(case.packet.pages, "page"))
        told.append("encrypted" if case.packet.passphrase is not None else "not opened here")
    return ", ".join(filter(None, map(shown, told)))

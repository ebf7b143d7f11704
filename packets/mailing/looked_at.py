"""Has a person looked at this very packet, where its recipe asks for that?"""

from packets.base.errors import Held
from packets.sealing.ledger_chain import Entry
from packets.sealing.release_steps import PREPARED
from packets.sealing.waiting import DECIDED_RELEASE, REVIEWED, waiting

LOOK = "Look at it and release it: `packets review` with this client folder. Nothing was sent."


def demand_not_waiting(entries: tuple[Entry, ...], packet: str, sha256: str) -> None:
    """Raise `Held` for a packet that waits for a person to look."""
    if any((one.packet, one.sha256) == (packet, sha256) for one in waiting(entries)):
        raise Held("this packet waits for a person to look at it", where=packet, remedy=LOOK)


def demand_looked_at(
    entries: tuple[Entry, ...], packet: str, sha256: str, *, recipe_asks: bool
) -> None:
    """Raise `Held` where nobody released these bytes, and the recipe or the ledger asks for it.

    `recipe_asks`: the recipe as it is today has `[release] review = true`.
    """
    mine = [
        entry
        for entry in entries
        if (entry.facts.get("packet"), entry.facts.get("sha256")) == (packet, sha256)
    ]
    asked = recipe_asks or any(
        entry.event == PREPARED and entry.facts.get("review") is True for entry in mine
    )
    looked_at = any(
        entry.event == REVIEWED and entry.facts.get("decision") == DECIDED_RELEASE for entry in mine
    )
    if asked and not looked_at:
        raise Held(
            "its recipe asks that a person looks at it first, and nobody has released it",
            where=packet,
            remedy="Build it again with this recipe, then look at it and release it: `packets "
            "review` with this client folder. Nothing was sent.",
        )

"""A person's yes or no to a packet that waits."""

from collections.abc import Callable
from pathlib import Path

from packets.base.errors import Held
from packets.base.secret import Secret
from packets.decisions.changes import Present
from packets.decisions.client_rows import sound_entries
from packets.decisions.people import LONGEST_NOTE, demand_name, demand_plain
from packets.handover.office_keys import office_signer
from packets.pipeline_records import BuildRequest
from packets.sealing.ledger_chain import Entry
from packets.sealing.records import Released
from packets.sealing.release import nothing
from packets.sealing.reviewed_release import hold_waiting, release_waiting
from packets.sealing.waiting import Waiting


def release_reviewed(
    client: Path,
    packet: str,
    sha256: str,
    who: str,
    *,
    office: Path | None = None,
    key_passphrase: Secret | None = None,
    at: Callable[[str], None] = nothing,
) -> Released:
    """Let the packet of this name and digest go to outbound/, because `who` has looked at it.

    Raises `Held` for a packet that does not wait (or no more), that has other bytes, that
    its manifest does not call clean and proved, or that a build of today would make
    otherwise; `UsageError` for a name that is none.
    """
    who = demand_name(who)
    wish = BuildRequest(client, recipe="", office=office, key_passphrase=key_passphrase)

    def demand(one: Waiting) -> None:
        demand_fresh(client, one, office)

    signer = office_signer(wish)
    return release_waiting(client, packet, sha256, who, demand=demand, signer=signer, at=at)


def demand_fresh(client: Path, one: Waiting, office: Path | None) -> None:
    """Raise `Held` where anything that the packet was made from is not as it was."""
    present = Present(client, office, sound_entries(client))
    changed = present.changes(one.facts, thorough=True)
    if changed:
        raise Held(
            f"this packet is out of date: {'; '.join(changed)}",
            where=one.packet,
            remedy="Nothing was released. Build again, then look at the new packet.",
        )


def hold_reviewed(client: Path, packet: str, sha256: str, who: str, note: str) -> Entry:
    """Put on record that `who` keeps the packet, and why; it stays in to-review/.

    Raises `Held` for a packet that does not wait or has other bytes, `UsageError` for a
    name or note that is missing or holds a number.
    """
    who, note = demand_name(who), demand_plain(note, "the note", most=LONGEST_NOTE)
    return hold_waiting(client, packet, sha256, who, note)

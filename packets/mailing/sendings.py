"""Earlier sendings of a packet, and the ledger lines of this one.

| event | meaning |
|---|---|
| `mailing` | the packet is about to leave; written before its first byte does |
| `mailed` | the server has taken it, with its answer |
| `not mailed` | the server, or the line to it, failed after `mailing`; it has not got it |
| `mail unanswered` | all of it went out and no answer came: the client may have it |
| `mail saved` | a message with the packet was written to a file |

A `mailing` that nothing follows is a run that was stopped: the client may have it.
"""

import datetime as dt

from packets.base.canonical import Json, sha256_hex
from packets.base.errors import Held
from packets.mailing.records import PreparedMail, Sending
from packets.sealing.folder_lock import folder_locked
from packets.sealing.ledger import append_locked
from packets.sealing.ledger_chain import FILE_NAME, Entry, read_ledger
from packets.sealing.storage_faults import storage_errors_of

MAILING = "mailing"
MAILED = "mailed"
NOT_MAILED = "not mailed"
UNANSWERED = "mail unanswered"
SAVED = "mail saved"

_IN_WORDS = {
    MAILED: "was sent",
    UNANSWERED: "was sent, and no answer came, so it may have arrived,",
    MAILING: "may have been sent by a run that was stopped,",
    SAVED: "was saved as a message",
}


def earlier_sendings(entries: tuple[Entry, ...], packet: str, sha256: str) -> tuple[Sending, ...]:
    """Sendings of this very packet that reached somebody, or may have; oldest first."""
    open_one: Sending | None = None
    found: list[Sending] = []
    for entry in entries:
        if entry.facts.get("packet") != packet or entry.facts.get("sha256") != sha256:
            continue
        if entry.event in (MAILING, MAILED, NOT_MAILED, UNANSWERED, SAVED):
            one = _sending(entry)
            if entry.event == MAILING:
                if open_one is not None:
                    found.append(open_one)
                open_one = one
                continue
            open_one = None if entry.event != SAVED else open_one
            if entry.event != NOT_MAILED:
                found.append(one)
    return tuple([*found, open_one] if open_one is not None else found)


def _sending(entry: Entry) -> Sending:
    to = entry.facts.get("to")
    addresses = tuple(str(one) for one in to) if isinstance(to, list) else ()
    return Sending(entry.event, entry.at, addresses)


def in_words(sending: Sending) -> str:
    """`was sent to ana@example.org on 2026-03-03 at 14:05 UTC`."""
    day, _, time = sending.at.partition("T")
    to = ", ".join(sending.to) or "nobody"
    return f"{_IN_WORDS.get(sending.event, sending.event)} to {to} on {day} at {time[:5]} UTC"


def begin(prepared: PreparedMail, event: str, more: dict[str, Json]) -> None:
    """Write the line that must be there before the packet leaves.

    Raises `Held` when another run has sent the packet since the questions were
    asked, so that two runs at once never send it twice.
    """
    client, released = prepared.client, prepared.released
    with storage_errors_of(client), folder_locked(client):
        entries = read_ledger(client / FILE_NAME).entries
        now = earlier_sendings(entries, released.packet.name, released.sha256)
        if now != prepared.earlier:
            raise Held(
                f"in the meantime this packet {in_words(now[-1])}"
                if now
                else "the ledger has changed in the meantime",
                where=released.packet.name,
                remedy="Run the command again if it is to go once more; this run sent nothing.",
            )
        append_locked(client, event, _facts(prepared) | more)


def end(
    prepared: PreparedMail, event: str, more: dict[str, Json], at: dt.datetime | None = None
) -> None:
    """Write how the sending ended."""
    with storage_errors_of(prepared.client), folder_locked(prepared.client):
        append_locked(prepared.client, event, _facts(prepared) | more, at=at)


def _facts(prepared: PreparedMail) -> dict[str, Json]:
    message = prepared.message
    return {
        "packet": prepared.released.packet.name,
        "sha256": prepared.released.sha256,
        "to": list(message.to),
        "message_id": message.message_id,
        "message_sha256": sha256_hex(message.data),
        "message_bytes": len(message.data),
        "checked_again": prepared.checked_again,
    }

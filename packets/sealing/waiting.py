"""Packets that wait in `to-review/` until a person has looked at them, by the ledger.

| event | meaning |
|---|---|
| `waits for review` | the packet lies there, sealed, checked and proved |
| `reviewed` | a person decided: `released`, or `held` with a note; who, and which bytes |
| `superseded` | a newer build by the same recipe took its place; it was taken away |

One packet waits for each recipe, or one numbered set. The lines come first and the
files go after them, so a run that was stopped in between is finished by the next.
"""

import os
from dataclasses import dataclass
from pathlib import Path

from packets.base.canonical import Json
from packets.base.errors import UsageError
from packets.sealing.checksum_list import names_packet, read_list
from packets.sealing.keys import refuse_beside_keys
from packets.sealing.ledger import append_locked
from packets.sealing.ledger_chain import FILE_NAME, Entry, read_ledger
from packets.sealing.release_steps import (
    PREPARED,
    RELEASED,
    STILL_WAITS,
    WAITS,
    WITHDRAWN,
    Parts,
    parts_of,
    take_back,
)

FOLDER = "to-review"
REVIEWED = "reviewed"
SUPERSEDED = "superseded"
DECIDED_RELEASE, DECIDED_HOLD = "released", "held"


@dataclass(frozen=True)
class Waiting:
    """A packet that waits."""

    packet: str
    sha256: str
    facts: dict[str, Json]
    """Of its line `prepared`."""
    at: str
    """Since when, as the ledger says."""

    @property
    def recipe(self) -> str:
        return str(self.facts.get("recipe"))

    @property
    def build(self) -> tuple[str, ...]:
        """The same for all numbered packets of one build, and for no other."""
        return build_of(self.facts)


def build_of(facts: dict[str, Json]) -> tuple[str, ...]:
    """By the facts of a line `prepared`: what all numbered packets of one build share."""
    together = facts.get("set_sha256")
    if isinstance(together, list):
        return tuple(str(sha256) for sha256 in together)
    return str(facts.get("packet")), str(facts.get("sha256"))


def review_folder(client: Path) -> Path:
    """Where packets of this client wait."""
    return client / FOLDER


def demand_own_folder(client: Path) -> None:
    """Where the folder is there, close it to others; raise `UsageError` for a link in its place."""
    folder = review_folder(client)
    if folder.is_symlink():
        raise UsageError(
            "this is a link, and packets wait in no other folder",
            where=FOLDER,
            remedy="Take the link away; the next build makes the folder.",
        )
    if folder.is_dir() and folder.stat().st_mode & 0o077:
        folder.chmod(0o700)


def demand_own_outbound(client: Path, outbound: Path) -> None:
    """Raise `UsageError` where a released packet would land among keys, papers or what waits.

    `outbound` may be a link to a folder elsewhere, as one that is shared; not to one in here.
    """
    refuse_beside_keys(client, outbound)
    there, home = outbound.resolve(), client.resolve()
    if there != home / outbound.name and there.is_relative_to(home):
        raise UsageError(
            "this is a link to another folder of the client, not the one of released packets",
            where=outbound.name,
            remedy="Take the link away; the release makes the folder.",
        )


def waiting(entries: tuple[Entry, ...]) -> tuple[Waiting, ...]:
    """All that wait, oldest first."""
    prepared: dict[tuple[str, str], Entry] = {}
    found: dict[tuple[str, str], Waiting] = {}
    for entry in entries:
        packet, sha256 = key = _key(entry)
        if entry.event == PREPARED and entry.facts.get("review") is True:
            prepared[key] = entry
        elif entry.event == WAITS and key in prepared:
            found[key] = Waiting(packet, sha256, prepared[key].facts, entry.at)
        elif entry.event in (RELEASED, SUPERSEDED) or (
            entry.event == WITHDRAWN and not entry.facts.get(STILL_WAITS)
        ):
            found.pop(key, None)
    return tuple(found.values())


def tidy_locked(client: Path) -> None:
    """Record what a newer build replaced, and take away what no longer waits.

    For a caller who holds the client folder's lock, which every writer of
    `to-review/` holds.
    """
    folder = review_folder(client)
    if not folder.is_dir():
        return
    entries = read_ledger(client / FILE_NAME).entries
    replaced = _replaced(waiting(entries))
    for older, newer in replaced:
        facts: dict[str, Json] = {
            "packet": older.packet,
            "sha256": older.sha256,
            "recipe": older.recipe,
            "by": newer.packet,
            "by_sha256": newer.sha256,
        }
        append_locked(client, SUPERSEDED, facts)
    if replaced:
        entries = read_ledger(client / FILE_NAME).entries
    for parts in _gone(entries, client):
        if _is_left(parts):
            take_back(parts)


def _replaced(found: tuple[Waiting, ...]) -> list[tuple[Waiting, Waiting]]:
    """Each that waits with the newest of its recipe, where that is of another build."""
    newest = {one.recipe: one for one in found}
    return [(one, newest[one.recipe]) for one in found if one.build != newest[one.recipe].build]


def _gone(entries: tuple[Entry, ...], client: Path) -> list[Parts]:
    """Packets that waited and do so no more; the passphrase goes with one that went nowhere."""
    prepared: dict[tuple[str, str], Entry] = {}
    gone: dict[tuple[str, str], Parts] = {}
    for entry in entries:
        key = _key(entry)
        if entry.event == PREPARED and entry.facts.get("review") is True:
            prepared[key] = entry
        elif entry.event in (RELEASED, SUPERSEDED) and key in prepared:
            facts = dict(prepared[key].facts)
            facts["moved"] = entry.event == RELEASED
            gone[key] = parts_of(facts, client, review_folder(client))
    return list(gone.values())


def _is_left(parts: Parts) -> bool:
    return (
        os.path.lexists(parts.packet_path)
        or os.path.lexists(parts.manifest_path)
        or names_packet(read_list(parts.folder), parts.packet)
    )


def _key(entry: Entry) -> tuple[str, str]:
    return str(entry.facts.get("packet", "")), str(entry.facts.get("sha256", ""))

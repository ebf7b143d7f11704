"""Passphrases of a client, for the office: shown again, spelled, agreed on for good."""

import os
from dataclasses import dataclass
from pathlib import Path

from packets.base.errors import InputRefused, UsageError
from packets.base.files import lies_in, partial_file, sync_folder
from packets.base.secret import Secret
from packets.intake.titles import known_categories
from packets.mailing.call_sheet import call_sheet
from packets.mailing.client_side import client_side
from packets.recipe.shelf import find_recipe
from packets.sealing import keys, standing
from packets.sealing.chosen_words import judge_chosen
from packets.sealing.ledger import append, entries
from packets.sealing.manifest import SUFFIX
from packets.sealing.number_free import plain_text
from packets.sealing.passphrase import from_file
from packets.sealing.release_steps import RELEASED, WITHDRAWN, give_name
from packets.sealing.standing import StandingPlace
from packets.sealing.storage_faults import storage_errors_of
from packets.signatures.known_lines import known_places

_NOT_HERE = ("outbound", "documents", "signatures")
"""Folders of packets, and folders from which packets are made."""
_PACKETS = (SUFFIX, ".eml")


@dataclass(frozen=True)
class KeptPassphrase:
    """A passphrase and what it opens."""

    client: Path
    packet: str
    """File name of the packet; empty for the standing passphrase itself."""
    passphrase: Secret


def passphrase_kept(client: Path, packet: str = "") -> KeptPassphrase:
    """The passphrase kept for a packet of the client, by default the one released last.

    Where no packet was released yet, the standing passphrase. Raises `InputRefused`
    where none is kept, `UsageError` for a name that is no packet of this client.
    """
    client_side(client)
    released = _released(client)
    if packet and packet not in released:
        raise UsageError(
            "the ledger of this client knows no such packet",
            where="--packet",
            remedy="`packets ledger show` with the client folder lists what was released.",
        )
    for name in (packet,) if packet else tuple(reversed(released)):
        path = keys.key_file(client, name)
        if path.is_file():
            return KeptPassphrase(client, name, from_file(path))
    agreed = None if packet else standing.standing_passphrase(client)
    if agreed is None:
        raise InputRefused(
            "no passphrase is kept here",
            where=plain_text(str(keys.keys_folder(client))),
            remedy="Packets of the agency have none; for others, restore keys/ from a copy.",
        )
    return KeptPassphrase(client, "", agreed)


def _released(client: Path) -> list[str]:
    names: list[str] = []
    for entry in entries(client):
        name = str(entry.facts.get("packet", ""))
        if entry.event == RELEASED:
            names.append(name)
        elif entry.event == WITHDRAWN and name in names:
            names.remove(name)
    return names


def write_call_sheet(kept: KeptPassphrase, path: Path) -> Path:
    """Write the sheet (0600), never over a file and never where a packet or source lies."""
    folder = path.parent.resolve()
    where = plain_text(str(path))
    if os.path.lexists(path):
        raise UsageError("this file is there already", where=where, remedy="Choose another name.")
    inside = any(lies_in(folder, kept.client / name) for name in _NOT_HERE)
    if inside or (folder.is_dir() and _holds_packet(folder)):
        raise UsageError(
            "a passphrase may not lie in a folder of packets or of their sources",
            where=where,
            remedy="Choose another folder, such as keys/ of the client.",
        )
    with (
        storage_errors_of(path.parent),
        partial_file(path, call_sheet(kept.packet, kept.passphrase)) as partial,
    ):
        give_name(partial, path)
        sync_folder(path.parent)
    return path


def _holds_packet(folder: Path) -> bool:
    return any(entry.name.endswith(_PACKETS) for entry in folder.iterdir())


def set_standing(
    client: Path, passphrase: Secret, recipe: str, *, in_keyring: bool
) -> StandingPlace:
    """Agree on a passphrase for all packets to come of recipes that would make one up.

    Raises `UsageError` with the reason for one that is too weak for the recipe or
    holds a number, a birth date or a ZIP code; nothing is kept then.
    """
    side = client_side(client)
    asked = find_recipe(recipe, known_categories(), known_places()).recipe.seal.bits
    names = (*(person.name for person in side.file.person), side.engagement.household)
    judge_chosen(
        passphrase,
        bits=asked,
        known=side.known,
        words=(*names, side.engagement.email, side.engagement.id),
    )
    place = standing.keep_standing(client, side.engagement.id, passphrase, in_keyring=in_keyring)
    append(client, "standing passphrase set", {"in_keyring": in_keyring})
    return place


def drop_standing(client: Path) -> bool:
    """Forget the standing passphrase; False where there was none."""
    client_side(client)
    dropped = standing.drop_standing(client)
    if dropped:
        append(client, "standing passphrase dropped", {})
    return dropped

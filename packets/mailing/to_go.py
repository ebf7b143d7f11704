"""May this packet go out? By its manifest, by the ledger, and by a verdict not older than it.

The verdict in the manifest is about the packet's bytes, by their SHA-256, and was
reached before the ledger said `released`. A file that was touched after that, or that
an older version of the rules let out, is checked again, with the same readers.
"""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from packets import __version__
from packets.base.canonical import Json
from packets.base.errors import Held, InputRefused, Locked
from packets.base.files import file_sha256
from packets.base.progress import Progress, Step
from packets.base.secret import Secret
from packets.identifiers.kinds import KnownNumber, MaskPolicy
from packets.mailing.looked_at import demand_not_waiting
from packets.outbound.check import check_pdf
from packets.outbound.records import Judgement, Verdict
from packets.sealing import keys
from packets.sealing.ledger import demand_sound
from packets.sealing.ledger_chain import FILE_NAME, Entry
from packets.sealing.manifest import read_manifest
from packets.sealing.number_free import plain_text
from packets.sealing.packet_proof import prove_packet
from packets.sealing.passphrase import from_file
from packets.sealing.proof_papers import papers_beside
from packets.sealing.proof_records import Standing
from packets.sealing.records import Released
from packets.sealing.release_proof import released_packet
from packets.sealing.release_steps import PREPARED, RELEASED, WITHDRAWN

CLOCK_STEP = dt.timedelta(seconds=2)
"""The ledger writes whole seconds, and some disks keep even ones only."""


@dataclass(frozen=True)
class Vouched:
    """A packet for which manifest and ledger vouch."""

    released: Released
    data: bytes = field(repr=False)
    """The bytes whose digest is `released.sha256`; these are what goes out."""
    manifest: dict[str, Json]
    entries: tuple[Entry, ...]
    newer_than_verdict: bool


def vouched(packet: Path, client: Path) -> Vouched:
    """The packet with its bytes, after its manifest and the client's ledger vouched for it.

    Raises what `released_packet` does; `Held` where the ledger does not know this
    packet by this digest and this manifest, or knows that it was withdrawn;
    `InputRefused` for a ledger that is not whole.
    """
    released = released_packet(packet)
    manifest = read_manifest(released.manifest)
    entries = demand_sound(client / FILE_NAME).entries
    at = _released_at(entries, released)
    if at is None:
        demand_not_waiting(entries, packet.name, released.sha256)
        raise Held(
            "the ledger of this client does not say that this packet was released",
            where=plain_text(str(packet)),
            remedy="Send the packet that `packets build` has released, from its own folder, or "
            "name its client folder with --client.",
        )
    _demand_uncontradicted(packet, client)
    data = packet.read_bytes()
    if len(data) != manifest["bytes"] or file_sha256(packet) != released.sha256:
        raise Held("the packet changed while it was being read", where=plain_text(str(packet)))
    written = dt.datetime.fromtimestamp(packet.stat().st_mtime, dt.UTC)
    tools = manifest["tools"]
    by_these_rules = isinstance(tools, dict) and tools.get("packets") == __version__
    newer = written > at + CLOCK_STEP or not by_these_rules
    return Vouched(released, data, manifest, entries, newer)


def _released_at(entries: tuple[Entry, ...], released: Released) -> dt.datetime | None:
    """When the ledger let out this very packet with this very manifest."""
    prepared, at = False, None
    manifest_sha256 = file_sha256(released.manifest)
    for entry in entries:
        facts = entry.facts
        if facts.get("packet") != released.packet.name or facts.get("sha256") != released.sha256:
            continue
        if entry.event == PREPARED:
            prepared = facts.get("manifest_sha256") == manifest_sha256
        elif entry.event == RELEASED and prepared:
            at = dt.datetime.fromisoformat(entry.at)
        elif entry.event == WITHDRAWN:
            at = None
    return at


def _demand_uncontradicted(packet: Path, client: Path) -> None:
    """Nothing that lies beside the packet may speak against it: checksum list, signature."""
    proof = prove_packet(packet, papers_beside(packet, ledger=client))
    against = [
        f"{finding.what}: {finding.words}"
        for finding in proof.findings
        if finding.standing is Standing.CONTRADICTED
    ]
    if against:
        raise Held(
            f"the papers of this packet speak against it: {'; '.join(against)}",
            where=plain_text(str(packet)),
            remedy="`packets verify` tells more; build the packet again. Nothing was sent.",
        )


def passphrase_of(released: Released, client: Path, given: Secret | None) -> Secret | None:
    """What opens the packet: given, or kept in the client's keys/."""
    if given is not None:
        return given
    path = keys.key_file(client, released.packet.name)
    return from_file(path) if path.is_file() else None


def check_again(
    packet: Vouched,
    passphrase: Secret | None,
    known: Sequence[KnownNumber],
    policy: MaskPolicy,
    progress: Progress,
) -> None:
    """Judge the packet's bytes anew. Raises `Held` with what was seen or stayed unread."""
    name = packet.released.packet.name
    if passphrase is None:
        raise Locked(
            "this file is newer than its verdict, and there is no passphrase to check it again",
            where=name,
            remedy="Give its passphrase with --password-file, or build the packet again.",
        )
    progress(Step("checking again", name))
    try:
        verdict = check_pdf(
            packet.data,
            name=name,
            passphrase=passphrase,
            known=known,
            policy=policy,
            ours=True,
            progress=progress,
        )
    except InputRefused as refused:
        raise Held(f"the packet could not be checked again: {refused.what}", where=name) from None
    if verdict.judgement is not Judgement.CLEAN:
        raise Held(
            f"the packet was checked again and is not clean: {_seen(verdict)}",
            where=name,
            remedy="Build it again; nothing was sent.",
        )


def _seen(verdict: Verdict) -> str:
    seen = [
        f"{one.kind} on page {one.page}" if one.page else f"{one.kind} in {one.place}"
        for one in verdict.sightings
    ]
    unread = [f"unread: {words}" for words in verdict.unread]
    return "; ".join([*dict.fromkeys(seen), *unread][:5])

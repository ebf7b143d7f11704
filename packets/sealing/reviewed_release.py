"""A packet that a person has looked at goes from `to-review/` to `outbound/`, or stays.

The durable steps, under the locks of all three folders: what a crash left is put in
order; the ledger says `reviewed`; then the very bytes, with their manifest, take the
steps of `release.py` into `outbound/`, and what lies in `to-review/` goes last. Killed
at any moment, the packet either still waits or is released, and never both for longer
than until the next start.
"""

from collections.abc import Callable
from pathlib import Path

from packets.base.canonical import Json, sha256_hex
from packets.base.errors import Held
from packets.sealing.carrying_out import carry_out, recorded_release
from packets.sealing.folder_lock import folders_locked
from packets.sealing.ledger import append_locked, demand_sound
from packets.sealing.ledger_chain import FILE_NAME, Entry
from packets.sealing.manifest import manifest_file_bytes, manifest_path
from packets.sealing.office_key import Signer
from packets.sealing.papers import signed_papers
from packets.sealing.records import Released
from packets.sealing.recovery import recover_locked
from packets.sealing.release import OUTBOUND, nothing
from packets.sealing.release_proof import released_packet
from packets.sealing.release_steps import RELEASED, Parts, folder_text
from packets.sealing.storage_faults import storage_errors_of
from packets.sealing.waiting import (
    DECIDED_HOLD,
    DECIDED_RELEASE,
    REVIEWED,
    SUPERSEDED,
    Waiting,
    demand_own_folder,
    demand_own_outbound,
    review_folder,
    waiting,
)

_LOOK_AGAIN = "Open the review again, and decide about the packet that is there now."


def release_waiting(
    client: Path,
    packet: str,
    sha256: str,
    who: str,
    *,
    demand: Callable[[Waiting], None],
    signer: Signer | None = None,
    at: Callable[[str], None] = nothing,
) -> Released:
    """Release the packet of this name and digest because `who` says so.

    `demand` raises for a packet that may not go though it lies there, as one that is
    stale; it is asked under the locks. `at` hears `reviewed`, then the steps of `release`,
    then `moved`. Raises `Held` for a packet that does not wait, that is not these bytes,
    or that its manifest does not call clean and proved.
    """
    outbound, folder = client / OUTBOUND, review_folder(client)
    demand_own_folder(client)
    demand_own_outbound(client, outbound)
    with storage_errors_of(client):
        for home in (outbound, folder):
            home.mkdir(mode=0o700, parents=True, exist_ok=True)
        with folders_locked(client, folder, outbound):
            recover_locked(client, folder)
            recover_locked(client, outbound)
            one = demand_waits(demand_sound(client / FILE_NAME).entries, packet, sha256)
            pdf, manifest = _read(folder / one.packet, one)
            demand(one)
            append_locked(client, REVIEWED, _decision(one, who, DECIDED_RELEASE))
            at("reviewed")
            return _moved(client, one, (pdf, manifest), signer, at)


def _moved(
    client: Path,
    one: Waiting,
    files: tuple[bytes, bytes],
    signer: Signer | None,
    at: Callable[[str], None],
) -> Released:
    """The bytes of packet and manifest through the steps of a release, then out of `to-review/`."""
    pdf, manifest = files
    papers = signed_papers(client, one.packet, one.sha256, manifest, signer)
    parts = Parts(
        client=client,
        folder=client / OUTBOUND,
        packet=one.packet,
        sha256=one.sha256,
        manifest_sha256=sha256_hex(manifest),
        key_kept=one.facts.get("key_kept") is True,
        signature_sha256=sha256_hex(papers.signature) if papers.signature else "",
        moved=True,
    )
    line = {key: value for key, value in one.facts.items() if key != "review"}
    line |= {"folder": folder_text(client, parts.folder), "moved": True}
    if papers.signature:
        line["signature_sha256"] = parts.signature_sha256
    carry_out(parts, line, pdf, None, papers, at)
    pages = one.facts.get("pages")
    released = recorded_release(parts, pages if isinstance(pages, int) else 0, signer)
    at("moved")
    return released


def hold_waiting(client: Path, packet: str, sha256: str, who: str, note: str) -> Entry:
    """Put on record that `who` looked at this packet and keeps it; it stays where it waits.

    Raises `Held` for a packet that does not wait or has other bytes.
    """
    folder = review_folder(client)
    with storage_errors_of(client), folders_locked(client):
        one = demand_waits(demand_sound(client / FILE_NAME).entries, packet, sha256)
        _read(folder / one.packet, one)
        facts = {**_decision(one, who, DECIDED_HOLD), "note": note}
        return append_locked(client, REVIEWED, facts)


def _decision(one: Waiting, who: str, decision: str) -> dict[str, Json]:
    return {
        "packet": one.packet,
        "sha256": one.sha256,
        "recipe": one.recipe,
        "who": who,
        "decision": decision,
    }


def demand_waits(entries: tuple[Entry, ...], packet: str, sha256: str) -> Waiting:
    """The packet of this name and digest that waits; raises `Held` saying why there is none."""
    found = waiting(entries)
    for one in found:
        if (one.packet, one.sha256) == (packet, sha256):
            return one
    if any(one.packet == packet for one in found):
        raise Held("this is not the packet that waits", where=packet, remedy=_LOOK_AGAIN)
    for entry in reversed(entries):
        if (entry.facts.get("packet"), entry.facts.get("sha256")) == (packet, sha256):
            if entry.event == RELEASED:
                raise Held(
                    f"this packet was released already, at {entry.at}",
                    where=packet,
                    remedy="Nothing is left to decide about it.",
                )
            if entry.event == SUPERSEDED:
                raise Held(
                    f"a newer build has taken its place: {entry.facts.get('by')}",
                    where=packet,
                    remedy=_LOOK_AGAIN,
                )
    raise Held("no packet of this name waits for a review", where=packet, remedy=_LOOK_AGAIN)


def _read(path: Path, one: Waiting) -> tuple[bytes, bytes]:
    """The bytes of packet and manifest, which are those that the ledger recorded."""
    found = released_packet(path)
    manifest = manifest_file_bytes(manifest_path(path))
    pdf = path.read_bytes()
    if found.sha256 != one.sha256 or sha256_hex(pdf) != one.sha256:
        raise Held("these are not the bytes that wait", where=one.packet, remedy=_LOOK_AGAIN)
    if sha256_hex(manifest) != one.facts.get("manifest_sha256"):
        raise Held(
            "the manifest beside it is not the one that the ledger recorded",
            where=one.packet,
            remedy="Build the packet again.",
        )
    return pdf, manifest

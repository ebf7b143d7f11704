"""The last station: a packet gets its final name, its manifest, its key and its ledger line.

Order of the durable steps, all under the locks of both folders:

1. what a crash left behind is put in order (`recovery.py`);
2. packet, manifest, checksum list and, where the office has a key, the signature are
   staged and synced under names that start with `.partial-`, in the folder where they
   will stay;
3. the ledger says `prepared` and names every part with its digest;
4. the passphrase is written to `keys/`;
5. the signature, the manifest, then the list, get their final names;
6. the packet gets its final name, last of all and never over another file;
7. the ledger says `released`, and its new head is signed.

A packet whose recipe asks for a review takes the same steps into `to-review/`: the
ledger then says `waits for review` in place of `released`, and what waited there by
the same recipe is recorded as superseded and taken away (`waiting.py`).

So a packet under its final name always has its manifest, its signature, its line in
the list, its key and its ledger line. Killed before 3, only staged files lie about; killed
later, the ledger knows what to finish or to undo. Whatever needs room on the disk
is written before anything has a final name, but for two ledger lines and the key.
"""

import os
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from packets.base.canonical import Json, sha256_hex
from packets.base.errors import OurFault, UsageError
from packets.base.files import lies_in
from packets.sealing import checksum_list
from packets.sealing.carrying_out import carry_out, recorded_release
from packets.sealing.folder_lock import folders_locked
from packets.sealing.keys import key_file, refuse_beside_keys
from packets.sealing.ledger_chain import FILE_NAME, read_ledger
from packets.sealing.manifest import manifest_path, utc_text
from packets.sealing.office_key import Signer
from packets.sealing.packet_names import (
    LONGEST_FOR_AGENCY,
    next_free_name,
    packet_name,
    signature_path,
)
from packets.sealing.papers import papers_of
from packets.sealing.records import NOT_ENCRYPTED, PacketFacts, Released, SealedPacket
from packets.sealing.recovery import recover_locked
from packets.sealing.release_steps import Parts, folder_text, names_in_ledger
from packets.sealing.source_versions import SourceFile, sources_sha256
from packets.sealing.storage_faults import storage_errors_of
from packets.sealing.waiting import demand_own_folder, review_folder

FILING = "filing"
"""Folder of agency packets, the only one for packets that are not encrypted."""
OFFICE = "office"
OUTBOUND = "outbound"
"""Where a packet goes that a person has released."""


def nothing(step: str) -> None:
    """Do nothing at a step."""


def release(
    client_folder: Path,
    out_folder: Path,
    facts: PacketFacts,
    sealed: SealedPacket,
    *,
    keep_passphrase: bool,
    signer: Signer | None = None,
    at: Callable[[str], None] = nothing,
) -> Released:
    """Put a checked packet under its final name and record it; `signer` signs it.

    `facts.packet` is replaced by the next free version of the packet's name. With
    `keep_passphrase` (give it for every generated one) the passphrase goes to
    `keys/`. `at` hears of each step that is done: `staged`, `prepared`, `key kept`,
    `manifest named`, `list named`, `packet named`, `released`.

    Raises `OurFault` for a packet whose verdict or encryption does not allow this
    folder, `UsageError` for a folder or engagement id that must not be used, and
    `InputRefused` for a full disk or a broken ledger. Then nothing of it remains
    but what the ledger says.
    """
    _demand_may_go(client_folder, out_folder, facts, sealed)
    packet_name(facts.engagement_id, facts.name_stem)
    with storage_errors_of(out_folder):
        out_folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        outbound = client_folder / OUTBOUND
        # A move out of to-review/ that was cut short is finished before anything replaces it.
        folders = [outbound] if facts.review and outbound.is_dir() else []
        with folders_locked(client_folder, out_folder, *folders):
            for folder in (*folders, out_folder):
                recover_locked(client_folder, folder)
            name = _free_name(client_folder, out_folder, facts)
            _demand_short(name, sealed)
            named = replace(facts, packet=name)
            # What waits for a person is not signed yet: the office signs what it lets go.
            papers = papers_of(client_folder, named, sealed, None if named.review else signer)
            parts = Parts(
                client=client_folder,
                folder=out_folder,
                packet=name,
                sha256=sealed.sha256,
                manifest_sha256=sha256_hex(papers.manifest),
                key_kept=keep_passphrase and sealed.passphrase is not None,
                signature_sha256=sha256_hex(papers.signature) if papers.signature else "",
                review=named.review,
            )
            line = _ledger_facts(parts, named, sealed)
            carry_out(parts, line, sealed.pdf, sealed.passphrase, papers, at)
            return recorded_release(parts, named.pages, signer)


def _ledger_facts(parts: Parts, facts: PacketFacts, sealed: SealedPacket) -> dict[str, Json]:
    return {
        "packet": parts.packet,
        "folder": folder_text(parts.client, parts.folder),
        "sha256": parts.sha256,
        "manifest_sha256": parts.manifest_sha256,
        "content_sha256": facts.content_sha256,
        "bytes": len(sealed.pdf),
        "pages": facts.pages,
        "recipe": facts.recipe_name,
        "recipe_sha256": facts.recipe_sha256,
        "verdict": facts.verdict,
        "encryption": sealed.algorithm,
        "key_kept": parts.key_kept,
        "retention": [
            {"rule": line.rule, "keep_until": line.keep_until.isoformat(), "source": line.source}
            for line in facts.retention
        ],
        "sources_sha256": sources_sha256(SourceFile(one.file, one.sha256) for one in facts.sources),
        "inputs": dict(facts.inputs),
        "recipe_given": facts.recipe_given,
        "built_at": utc_text(facts.built_at),
        **({"review": True} if facts.review else {}),
        **({"set_sha256": [one.sha256 for one in facts.whole_set]} if facts.whole_set else {}),
        **({"signature_sha256": parts.signature_sha256} if parts.signature_sha256 else {}),
    }


def _free_name(client_folder: Path, out_folder: Path, facts: PacketFacts) -> str:
    given_away = names_in_ledger(read_ledger(client_folder / FILE_NAME).entries)
    listed = checksum_list.read_list(out_folder)

    def taken(name: str) -> bool:
        folders = (out_folder, client_folder / OUTBOUND) if facts.review else (out_folder,)
        places = (
            *(folder / name for folder in folders),
            *(manifest_path(folder / name) for folder in folders),
            *(signature_path(folder / name) for folder in folders),
            key_file(client_folder, name),
        )
        return (
            name.casefold() in given_away
            or checksum_list.names_packet(listed, name)
            or any(os.path.lexists(place) for place in places)
        )

    return next_free_name(facts.engagement_id, facts.name_stem, taken)


def _demand_may_go(
    client_folder: Path, out_folder: Path, facts: PacketFacts, sealed: SealedPacket
) -> None:
    refuse_beside_keys(client_folder, out_folder)
    demand_own_folder(client_folder)
    if facts.review is not lies_in(out_folder, review_folder(client_folder)):
        raise OurFault("a packet was to be released past the person who is to look at it")
    filing = lies_in(out_folder, client_folder / FILING)
    office = lies_in(out_folder, client_folder / OFFICE)
    if facts.verdict != "clean" and not (facts.verdict == "not asked" and (filing or office)):
        raise OurFault(f"a packet with the verdict {facts.verdict!r} was to be released")
    if sealed.algorithm == NOT_ENCRYPTED and not filing:
        raise OurFault("a packet without encryption was to be released outside filing/")
    if sha256_hex(sealed.pdf) != sealed.sha256:
        raise OurFault("the packet is not the one that was sealed")


def _demand_short(name: str, sealed: SealedPacket) -> None:
    if sealed.algorithm == NOT_ENCRYPTED and len(name) > LONGEST_FOR_AGENCY:
        raise UsageError(
            f"the file name would have {len(name)} characters; the agency takes "
            f"{LONGEST_FOR_AGENCY}",
            where=name,
            remedy="Shorten the engagement id or the recipe's name.",
        )

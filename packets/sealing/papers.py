"""The papers of one release: the manifest, the office's signature, and what is told after it."""

import contextlib
import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from packets.base.canonical import sha256_hex
from packets.base.files import partial_file
from packets.sealing.ledger_chain import FILE_NAME, Head, read_ledger
from packets.sealing.manifest import manifest_bytes
from packets.sealing.office_key import Signer
from packets.sealing.records import PacketFacts, SealedPacket
from packets.sealing.signing import packet_signature, sign_head_locked

HEAD_NOT_SIGNED = (
    "The ledger's new head could not be signed: run `packets ledger sign` with this client folder."
)
CLOCK_BACK = (
    "This machine's clock is behind the ledger: set it right. The ledger is whole, but its times "
    "are out of order."
)
LINES_OF_A_BUILD = 3
"""Documents taken in, packet prepared, packet released."""


@dataclass(frozen=True)
class Papers:
    """What goes beside a packet."""

    manifest: bytes
    signature: bytes
    """Empty where the office has no key."""


def papers_of(
    client_folder: Path, facts: PacketFacts, sealed: SealedPacket, signer: Signer | None
) -> Papers:
    """Manifest and signature of a packet that has its name; the caller holds the folder's lock."""
    return signed_papers(
        client_folder, facts.packet, sealed.sha256, manifest_bytes(facts, sealed), signer
    )


def signed_papers(
    client_folder: Path, packet: str, sha256: str, manifest: bytes, signer: Signer | None
) -> Papers:
    """A manifest with the office's signature on it and on the packet of this digest."""
    if signer is None:
        return Papers(manifest, b"")
    ledger = read_ledger(client_folder / FILE_NAME).verdict
    signature = packet_signature(
        signer,
        packet,
        sha256,
        sha256_hex(manifest),
        Head(ledger.lines, ledger.head),
        dt.datetime.now(dt.UTC),
    )
    return Papers(manifest, signature)


@contextlib.contextmanager
def signature_staged(path: Path, papers: Papers) -> Iterator[Path | None]:
    """The signature under a staged name; None where there is none."""
    if not papers.signature:
        yield None
        return
    with partial_file(path, papers.signature) as staged:
        yield staged


def recorded(client_folder: Path, signer: Signer | None) -> tuple[str, ...]:
    """Sign the ledger's new head; what the office should know about the recording, in sentences."""
    notes = []
    if signer is not None:
        try:
            sign_head_locked(client_folder, signer)
        except OSError:  # the packet is out and recorded: this can be made good at any time
            notes.append(HEAD_NOT_SIGNED)
    ledger = read_ledger(client_folder / FILE_NAME).verdict
    if ledger.clock_back and ledger.clock_back[-1] > ledger.lines - LINES_OF_A_BUILD:
        notes.append(CLOCK_BACK)
    return tuple(notes)

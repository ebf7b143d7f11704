"""Proving a packet by the papers that came with it, and by nothing else.

Each question is answered on its own: proved, not proved (the paper for it is not
there), or contradicted. The manifest alone proves nothing against a forger, who would
write a new one; the ledger or the office's signature is what anchors it. So a packet
is proved when nothing contradicts, its manifest describes it, and one of the two
anchors holds; where a public key was asked for, the signature must.
"""

from pathlib import Path

from packets.base.canonical import Json, sha256_hex
from packets.base.errors import Damaged
from packets.sealing.checksum_list import checksum_line, names_packet
from packets.sealing.ledger_chain import Entry, Reading, head_of, judge
from packets.sealing.ledger_proof import agrees, head_in, key_doubt, ledger_signature
from packets.sealing.manifest import manifest_of
from packets.sealing.proof_records import Finding, PacketProof, ProofPapers, Standing
from packets.sealing.release_steps import PREPARED, RELEASED, WITHDRAWN
from packets.sealing.signing import PACKET, Signed, signed_of

PROVED, NOT_PROVED, CONTRADICTED = Standing.PROVED, Standing.NOT_PROVED, Standing.CONTRADICTED


def prove_packet(packet: Path, papers: ProofPapers) -> PacketProof:
    """Answer each question about a packet from its papers. Raises nothing."""
    reading = _ledger_of(papers)
    entry = _prepared(papers, reading) if reading else None
    findings = (
        *_manifest_and_packet(papers),
        _checksum_list(papers),
        _ledger(papers, reading, entry),
        _signature(papers, reading, entry),
        _head_signature(papers, reading),
    )
    return PacketProof(packet, papers.sha256, findings, papers.key_given)


def _ledger_of(papers: ProofPapers) -> Reading | None:
    if papers.ledger is None:
        return None
    return judge(papers.ledger, head_of(papers.head) if papers.head else None)


def _manifest_and_packet(papers: ProofPapers) -> tuple[Finding, Finding]:
    if papers.manifest is None:
        missing = "there is no manifest beside the packet"
        return (
            Finding("manifest", NOT_PROVED, missing),
            Finding("packet", NOT_PROVED, "nothing here describes it"),
        )
    try:
        record = manifest_of(papers.manifest)
    except Damaged:
        return (
            Finding("manifest", CONTRADICTED, "it is not whole, or was altered"),
            Finding("packet", NOT_PROVED, "nothing here describes it"),
        )
    whole = Finding("manifest", PROVED, "whole, and as its own checksum says")
    return whole, _packet(papers, record)


def _packet(papers: ProofPapers, record: dict[str, Json]) -> Finding:
    if record["sha256"] != papers.sha256 or record["bytes"] != papers.size:
        return Finding("packet", CONTRADICTED, "its bytes are not those that the manifest names")
    if record["packet"] != papers.packet:
        words = "the bytes are those of the manifest, but the file has another name"
        return Finding("packet", CONTRADICTED, words)
    return Finding("packet", PROVED, "name, size and SHA-256 are those of the manifest")


def _checksum_list(papers: ProofPapers) -> Finding:
    what = "checksum list"
    listed = papers.checksum_list
    if listed is None:
        return Finding(what, NOT_PROVED, "there is no SHA256SUMS beside the packet")
    if checksum_line(papers.packet, papers.sha256) in listed.splitlines(keepends=True):
        return Finding(what, PROVED, "SHA256SUMS names this file with this SHA-256")
    if names_packet(listed, papers.packet):
        return Finding(what, CONTRADICTED, "SHA256SUMS gives this file another SHA-256")
    return Finding(what, CONTRADICTED, "SHA256SUMS does not name this file")


def _prepared(papers: ProofPapers, reading: Reading) -> Entry | None:
    """The line by which this very packet and manifest were recorded."""
    manifest = sha256_hex(papers.manifest) if papers.manifest is not None else ""
    wanted = (PREPARED, papers.packet, papers.sha256, manifest)
    for entry in reversed(reading.entries):
        named = [entry.facts.get(key) for key in ("packet", "sha256", "manifest_sha256")]
        if (entry.event, *named) == wanted:
            return entry
    return None


def _ledger(papers: ProofPapers, reading: Reading | None, entry: Entry | None) -> Finding:
    if reading is None:
        return Finding("ledger", NOT_PROVED, "no ledger was found; name one with --ledger")
    verdict = reading.verdict
    if not verdict.sound:
        at = f"line {verdict.bad_line}: " if verdict.bad_line else ""
        return Finding("ledger", CONTRADICTED, f"the ledger is not whole: {at}{verdict.why}")
    fault = _recorded_otherwise(papers, reading, entry)
    end = _end_of(papers, reading, entry)
    if fault or entry is None or end is None:
        return Finding("ledger", CONTRADICTED, fault)
    words = f"prepared in line {entry.line}, released in line {end.line} at {end.at}"
    return Finding("ledger", PROVED, words)


def _recorded_otherwise(papers: ProofPapers, reading: Reading, entry: Entry | None) -> str:
    """What a whole ledger says against the packet; empty when it tells of its release."""
    end = _end_of(papers, reading, entry)
    if entry is None:
        return "no line of the ledger records this packet with this manifest"
    if end is None:
        return f"line {entry.line} prepares it, but no line says that it was released"
    if end.event == WITHDRAWN:
        return f"it was withdrawn in line {end.line}"
    if entry.facts.get("signature_sha256") and papers.signature is None:
        return "the ledger tells of a signature, and it is not beside the packet"
    return ""


def _end_of(papers: ProofPapers, reading: Reading, entry: Entry | None) -> Entry | None:
    if entry is None:
        return None
    for later in reading.entries[entry.line :]:
        same = (later.facts.get("packet"), later.facts.get("sha256"))
        if later.event in (RELEASED, WITHDRAWN) and same == (papers.packet, papers.sha256):
            return later
    return None


def _signature(papers: ProofPapers, reading: Reading | None, entry: Entry | None) -> Finding:
    what = "signature"
    if papers.signature is None:
        return Finding(what, NOT_PROVED, "the packet is not signed by the office")
    try:
        signed = signed_of(papers.signature, PACKET)
    except Damaged:
        return Finding(what, CONTRADICTED, "the signature file was altered")
    doubt = key_doubt(what, signed, papers.keys)
    if doubt is not None:
        return doubt
    fault = _signed_otherwise(papers, signed, reading, entry)
    if fault:
        return Finding(what, CONTRADICTED, fault, signed.fingerprint)
    words = f"the office signed this packet and this manifest at {signed.statement['at']}"
    return Finding(what, PROVED, words, signed.fingerprint)


def _signed_otherwise(
    papers: ProofPapers, signed: Signed, reading: Reading | None, entry: Entry | None
) -> str:
    """What was signed and is not so; empty when all is as it was signed."""
    said = signed.statement
    if (said["packet"], said["sha256"]) != (papers.packet, papers.sha256):
        return "the signature is that of another packet"
    if papers.manifest is None or said["manifest_sha256"] != sha256_hex(papers.manifest):
        return "the signature is that of another manifest"
    if reading is None:
        return ""
    before = said["ledger"]
    head = head_in(before if isinstance(before, dict) else {})
    if not agrees(reading.entries, head) or (entry and entry.line != head.lines + 1):
        return "the ledger is not the one in which the packet was recorded when it was signed"
    return ""


def _head_signature(papers: ProofPapers, reading: Reading | None) -> Finding:
    if reading is None:
        return Finding("ledger signature", NOT_PROVED, "no ledger was found")
    return ledger_signature(reading, papers.head_signature, papers.keys)

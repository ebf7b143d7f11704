"""Proving a ledger by the office's signature on its head."""

from pathlib import Path

from packets.base.canonical import Json
from packets.base.errors import Damaged
from packets.sealing.ledger_chain import FILE_NAME, START, Entry, Head, Reading, read_ledger
from packets.sealing.office_key import PublicKey
from packets.sealing.proof_papers import small_file
from packets.sealing.proof_records import Finding, Standing
from packets.sealing.signing import LEDGER, LEDGER_SIGNATURE, Signed, signed_of

WHAT = "ledger signature"


def client_ledger_signature(client_folder: Path, keys: tuple[PublicKey, ...]) -> Finding:
    """Whether the office signed the ledger of this client folder, and up to which line."""
    reading = read_ledger(client_folder / FILE_NAME)
    return ledger_signature(reading, small_file(client_folder / LEDGER_SIGNATURE), keys)


def ledger_signature(reading: Reading, data: bytes | None, keys: tuple[PublicKey, ...]) -> Finding:
    """The same for a ledger that was read, and the bytes of the signature on its head."""
    if data is None:
        return _unsigned(reading)
    try:
        signed = signed_of(data, LEDGER)
    except Damaged:
        return Finding(WHAT, Standing.CONTRADICTED, "the signature file was altered")
    doubt = key_doubt(WHAT, signed, keys)
    if doubt is not None:
        return doubt
    head = head_in(signed.statement)
    if not agrees(reading.entries, head):
        words = f"the ledger is not the one that was signed with {head.lines} lines"
        return Finding(WHAT, Standing.CONTRADICTED, words, signed.fingerprint)
    later = len(reading.entries) - head.lines
    words = f"signed at {signed.statement['at']} up to line {head.lines}"
    if later:
        words += f"; {later} later are bound by the chain alone"
    return Finding(WHAT, Standing.PROVED, words, signed.fingerprint)


def _unsigned(reading: Reading) -> Finding:
    """A forger who holds no key would take the signature away."""
    if any(entry.facts.get("signature_sha256") for entry in reading.entries):
        words = (
            "packets in it were signed, and the signature on its head is not there; only a run "
            "that was stopped right after the first signed release leaves it so"
        )
        return Finding(WHAT, Standing.CONTRADICTED, words)
    return Finding(WHAT, Standing.NOT_PROVED, "the ledger's head is not signed")


def key_doubt(what: str, signed: Signed, keys: tuple[PublicKey, ...]) -> Finding | None:
    """Why a signature proves nothing, or None when one of the trusted keys made it."""
    key = next((key for key in keys if key.fingerprint == signed.fingerprint), None)
    if key is None:
        words = (
            "signed by a key that is not among those given"
            if keys
            else "signed, but no public key was given to prove it by"
        )
        return Finding(what, Standing.NOT_PROVED, words, signed.fingerprint)
    if not signed.holds(key):
        words = "the signature does not hold"
        return Finding(what, Standing.CONTRADICTED, words, signed.fingerprint)
    return None


def head_in(statement: dict[str, Json]) -> Head:
    """The head that a signed statement names; one that fits no ledger where it names none."""
    lines, last = statement.get("lines"), statement.get("last")
    if isinstance(lines, int) and isinstance(last, str):
        return Head(lines, last)
    return Head(-1, "")


def agrees(entries: tuple[Entry, ...], head: Head) -> bool:
    """Whether these lines begin with the ledger that had this head."""
    if not 0 <= head.lines <= len(entries):
        return False
    return head.last == (entries[head.lines - 1].sha256 if head.lines else START)

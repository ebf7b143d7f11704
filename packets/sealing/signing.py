"""What the office signs: one statement per packet, and one on the head of a ledger.

A signature file is the RFC 8785 form of `{"signature": …, "statement": …}` and a line
feed. `signature` is base64 (RFC 4648) of the Ed25519 signature over the RFC 8785 form
of `statement`, so any tool that knows Ed25519 can verify it. `statement.signed` says
what is signed, so that no signature can stand in for another kind.

The statement on a packet names packet, manifest and the ledger's head as it was just
before the packet: a ledger that is rewritten or cut behind a packet's back no longer
agrees with the packet that left.
"""

import base64
import datetime as dt
import json
from dataclasses import dataclass
from pathlib import Path

from packets.base.canonical import Json, canonical_json
from packets.base.errors import Damaged
from packets.base.files import write_durably
from packets.sealing.folder_lock import folder_locked
from packets.sealing.ledger import demand_sound
from packets.sealing.ledger_chain import FILE_NAME, Head
from packets.sealing.manifest import utc_text
from packets.sealing.number_free import plain_text
from packets.sealing.office_key import PublicKey, Signer
from packets.sealing.storage_faults import storage_errors_of

LEDGER_SIGNATURE = "ledger.signature.json"
PACKET, LEDGER = "packet", "ledger"
_COMMON = frozenset({"signed", "at", "key"})
_KEYS = {
    PACKET: _COMMON | {"packet", "sha256", "manifest_sha256", "ledger"},
    LEDGER: _COMMON | {"lines", "last"},
}


@dataclass(frozen=True)
class Signed:
    """A signature file as it was read; whether it holds is asked with `holds`."""

    statement: dict[str, Json]
    signature: bytes

    @property
    def fingerprint(self) -> str:
        """Of the key that is said to have signed."""
        return str(self.statement["key"])

    def holds(self, key: PublicKey) -> bool:
        """Whether this key signed this statement."""
        return self.fingerprint == key.fingerprint and key.holds(
            self.signature, canonical_json(self.statement)
        )


def packet_signature(
    signer: Signer, packet: str, sha256: str, manifest_sha256: str, ledger: Head, at: dt.datetime
) -> bytes:
    """The signature file of a packet; `ledger` is the head before the packet's first line."""
    return _signed(
        signer,
        {
            "signed": PACKET,
            "at": utc_text(at),
            "packet": packet,
            "sha256": sha256,
            "manifest_sha256": manifest_sha256,
            "ledger": {"lines": ledger.lines, "last": ledger.last},
        },
    )


def sign_head(client_folder: Path, signer: Signer, at: dt.datetime | None = None) -> Head:
    """Sign the ledger of a client folder as it is now, and return what was signed.

    Raises `InputRefused` when it is broken, and for a full disk.
    """
    with storage_errors_of(client_folder), folder_locked(client_folder):
        return sign_head_locked(client_folder, signer, at)


def sign_head_locked(client_folder: Path, signer: Signer, at: dt.datetime | None = None) -> Head:
    """`sign_head` for a caller who holds the folder's lock; an OSError goes through."""
    verdict = demand_sound(client_folder / FILE_NAME).verdict
    head = Head(verdict.lines, verdict.head)
    moment = at or dt.datetime.now(dt.UTC)
    statement: dict[str, Json] = {
        "signed": LEDGER,
        "at": utc_text(moment),
        "lines": head.lines,
        "last": head.last,
    }
    write_durably(client_folder / LEDGER_SIGNATURE, _signed(signer, statement))
    return head


def _signed(signer: Signer, statement: dict[str, Json]) -> bytes:
    whole = {**statement, "key": signer.fingerprint}
    signature = signer.sign(canonical_json(whole))
    return _file_bytes(whole, signature)


def _file_bytes(statement: dict[str, Json], signature: bytes) -> bytes:
    text = base64.b64encode(signature).decode()
    return canonical_json({"statement": statement, "signature": text}) + b"\n"


def signed_of(data: bytes, kind: str, where: str = "") -> Signed:
    """The signature file that these bytes are; raises `Damaged` unless they are exactly one."""
    try:
        record = json.loads(data)
        statement, text = record["statement"], record["signature"]
        signed = Signed(statement, base64.b64decode(text, validate=True))
        right = (
            statement["signed"] == kind
            and statement.keys() == _KEYS[kind]
            and _file_bytes(statement, signed.signature) == data
        )
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        right = False
    if not right:
        raise Damaged(
            f"this is not a whole, unaltered signature of a {kind}",
            where=plain_text(where),
            remedy="Restore the signature file from a copy.",
        )
    return signed

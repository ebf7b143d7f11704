"""All there is to tell about a client's ledger: lines, chain, signature, what is to be kept."""

import datetime as dt
from dataclasses import dataclass
from pathlib import Path

from packets.base.errors import UsageError
from packets.base.secret import Secret
from packets.handover.office_keys import office_signer, trusted_keys
from packets.handover.retention_survey import KeptRecords, client_retention, recorded_dates
from packets.intake.engagement import ENGAGEMENT_FILE
from packets.sealing.ledger import Entry, LedgerVerdict, entries, verify
from packets.sealing.ledger_chain import Head
from packets.sealing.ledger_proof import client_ledger_signature
from packets.sealing.proof_records import Finding
from packets.sealing.signing import sign_head


@dataclass(frozen=True)
class LedgerReport:
    """A ledger as it was found."""

    verdict: LedgerVerdict
    signature: Finding
    entries: tuple[Entry, ...] = ()
    retention: tuple[KeptRecords, ...] = ()


@dataclass(frozen=True)
class _Wish:
    client: Path
    office: Path | None
    key_passphrase: Secret | None


def ledger_report(
    client: Path, public_keys: tuple[Path, ...], office: Path | None, *, whole: bool
) -> LedgerReport:
    """Judge the ledger of a client folder; `whole` adds its lines and the dates of retention.

    Raises `UsageError` for a key that is none, `InputRefused` for a ledger that
    cannot be read.
    """
    signature = client_ledger_signature(client, trusted_keys(client, public_keys, office))
    verdict = verify(client)
    if not whole:
        return LedgerReport(verdict, signature)
    lines = entries(client)
    return LedgerReport(verdict, signature, lines, _retention(client, lines))


def _retention(client: Path, lines: tuple[Entry, ...]) -> tuple[KeptRecords, ...]:
    """Nothing where neither engagement.toml nor the ledger says anything about it."""
    if not (client / ENGAGEMENT_FILE).is_file() and not recorded_dates(lines):
        return ()
    return client_retention(client, dt.date.today()).records


def sign_ledger(client: Path, office: Path | None, passphrase: Secret | None) -> tuple[Head, str]:
    """Sign the ledger of a client folder as it is; what was signed, and the key's fingerprint.

    Raises `UsageError` where office.toml names no key, and what `sign_head` raises.
    """
    signer = office_signer(_Wish(client, office, passphrase))
    if signer is None:
        raise UsageError(
            "the office has no key to sign with",
            where="office.toml",
            remedy="Make one with `packets office-key new`, and name it in office.toml.",
        )
    return sign_head(client, signer), signer.fingerprint

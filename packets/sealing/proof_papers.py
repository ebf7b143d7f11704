"""The papers of a packet as they lie on this machine, read once and within a bound."""

from pathlib import Path

from packets.base.errors import InputRefused, OverLimit
from packets.base.files import file_sha256
from packets.sealing.checksum_list import FILE_NAME as LIST_NAME
from packets.sealing.ledger_chain import FILE_NAME as LEDGER_NAME
from packets.sealing.ledger_chain import HEAD_NAME
from packets.sealing.manifest import manifest_path
from packets.sealing.number_free import plain_text
from packets.sealing.office_key import PublicKey
from packets.sealing.packet_names import signature_path
from packets.sealing.proof_records import ProofPapers
from packets.sealing.signing import LEDGER_SIGNATURE

_LARGEST = 256 * 1024 * 1024


def papers_beside(
    packet: Path,
    keys: tuple[PublicKey, ...] = (),
    *,
    ledger: Path | None = None,
    key_given: bool = False,
) -> ProofPapers:
    """What lies beside the packet, and its ledger.

    `ledger` is a ledger file or the folder that holds one; unless given it is looked
    for in the folder above the packet's (a client folder), then beside the packet.
    Raises `InputRefused` for a file that is there and cannot be read.
    """
    try:
        digest, size = file_sha256(packet), packet.stat().st_size
    except OSError:
        raise _unreadable(packet) from None
    home = _ledger_home(packet, ledger)
    return ProofPapers(
        packet=packet.name,
        sha256=digest,
        size=size,
        manifest=small_file(manifest_path(packet)),
        checksum_list=small_file(packet.with_name(LIST_NAME)),
        signature=small_file(signature_path(packet)),
        ledger=small_file(home),
        head=small_file(home.with_name(HEAD_NAME)),
        head_signature=small_file(home.with_name(LEDGER_SIGNATURE)),
        keys=keys,
        key_given=key_given,
    )


def _ledger_home(packet: Path, given: Path | None) -> Path:
    if given is not None:
        return given / LEDGER_NAME if given.is_dir() else given
    beside = packet.resolve().parent
    above = beside.parent / LEDGER_NAME
    return above if above.is_file() else beside / LEDGER_NAME


def small_file(path: Path) -> bytes | None:
    """The bytes of a file, or None where there is none."""
    try:
        with path.open("rb") as file:
            data = file.read(_LARGEST + 1)
    except FileNotFoundError:
        return None
    except OSError:
        raise _unreadable(path) from None
    if len(data) > _LARGEST:
        raise OverLimit("this file is far too large for what it is called", where=_shown(path))
    return data


def _unreadable(path: Path) -> InputRefused:
    return InputRefused(
        "this file cannot be read",
        where=_shown(path),
        remedy="See whether you may read it and whether the disk is reachable.",
    )


def _shown(path: Path) -> str:
    return plain_text(str(path))

"""The durable steps of a release, from staged files to the line that ends it.

`release.py` tells their order and why; `reviewed_release.py` takes the same steps with a
packet that has waited for a person.
"""

import contextlib
from collections.abc import Callable, Iterator

from packets.base.canonical import Json
from packets.base.errors import PacketsError
from packets.base.files import partial_file, sync_folder
from packets.base.secret import Secret
from packets.sealing import checksum_list, keys
from packets.sealing.ledger import append_locked
from packets.sealing.office_key import Signer
from packets.sealing.papers import Papers, recorded, signature_staged
from packets.sealing.records import Released
from packets.sealing.release_steps import PREPARED, WITHDRAWN, Parts, give_name, take_back
from packets.sealing.waiting import tidy_locked


def carry_out(
    parts: Parts,
    line: dict[str, Json],
    pdf: bytes,
    passphrase: Secret | None,
    papers: Papers,
    at: Callable[[str], None],
) -> None:
    """Stage, prepare, name and record; the caller holds the locks and has put things in order.

    `line` holds the facts of the ledger line `prepared`. `passphrase` is written where
    `parts` say that it is kept and was not written before.
    """
    list_path = parts.folder / checksum_list.FILE_NAME
    listed = checksum_list.with_packet(
        checksum_list.read_list(parts.folder), parts.packet, parts.sha256
    )
    with (
        partial_file(parts.packet_path, pdf) as staged_packet,
        partial_file(parts.manifest_path, papers.manifest) as staged_manifest,
        partial_file(list_path, listed) as staged_list,
        signature_staged(parts.signature_path, papers) as staged_signature,
    ):
        sync_folder(parts.folder)
        at("staged")
        append_locked(parts.client, PREPARED, line)
        with _undone_on_failure(parts):
            at("prepared")
            if parts.key_kept and not parts.moved and passphrase is not None:
                keys.keep(parts.client, parts.packet, passphrase)
            at("key kept")
            if staged_signature is not None:
                staged_signature.replace(parts.signature_path)
            staged_manifest.replace(parts.manifest_path)
            at("manifest named")
            staged_list.replace(list_path)
            sync_folder(parts.folder)
            at("list named")
            give_name(staged_packet, parts.packet_path)
            sync_folder(parts.folder)
            at("packet named")
            append_locked(parts.client, parts.ends_as, parts.named)
    at("released")


def recorded_release(parts: Parts, pages: int, signer: Signer | None) -> Released:
    """What was carried out, once what it replaced is tidied away and the ledger's head signed."""
    tidy_locked(parts.client)
    return Released(
        packet=parts.packet_path,
        manifest=parts.manifest_path,
        key_file=keys.key_file(parts.client, parts.packet) if parts.key_kept else None,
        sha256=parts.sha256,
        pages=pages,
        signature=parts.signature_path if parts.signature_sha256 else None,
        notes=recorded(parts.client, signer),
    )


@contextlib.contextmanager
def _undone_on_failure(parts: Parts) -> Iterator[None]:
    try:
        yield
    except BaseException:
        # What cannot be undone now (the disk is still full) is undone at the next start.
        with contextlib.suppress(OSError, PacketsError):
            take_back(parts)
            append_locked(parts.client, WITHDRAWN, parts.taken_back)
        raise

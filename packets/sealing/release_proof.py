"""Is this file a released packet, unchanged? Asked by whoever sends it on."""

from pathlib import Path

from packets.base.errors import Held, InputRefused
from packets.base.files import file_sha256
from packets.sealing import keys
from packets.sealing.manifest import manifest_path, read_manifest
from packets.sealing.number_free import plain_text
from packets.sealing.records import ALGORITHM, Released


def released_packet(packet: Path) -> Released:
    """The packet at this path with what belongs to it, after its manifest vouched for it.

    Raises `Held` unless the manifest beside it names this file, this digest, this
    size, the verdict `clean` with its proof, and encryption; `InputRefused` when the packet or its
    manifest is missing, `Damaged` when the manifest was altered.
    """
    where = plain_text(str(packet))
    if not packet.is_file():
        raise InputRefused("there is no such packet", where=where)
    path = manifest_path(packet)
    manifest = read_manifest(path)
    digest = file_sha256(packet)
    named = (manifest["packet"], manifest["sha256"], manifest["bytes"])
    if named != (packet.name, digest, packet.stat().st_size):
        raise Held("this is not the file that its manifest describes", where=where)
    check, encryption = manifest["check"], manifest["encryption"]
    if not isinstance(check, dict) or check.get("verdict") != "clean":
        raise Held("this packet was never found clean, so it may not go out", where=where)
    proof = check.get("proof")
    if (
        not isinstance(proof, dict)
        or not proof.get("places")
        or (proof.get("places") != proof.get("found"))
    ):
        raise Held("the check of this packet was never proved, so it may not go out", where=where)
    if not isinstance(encryption, dict) or encryption.get("algorithm") != ALGORITHM:
        raise Held("this packet is not encrypted, so it may not go out", where=where)
    key = keys.key_file(packet.resolve().parent.parent, packet.name)
    pages = manifest["pages"]
    return Released(
        packet=packet,
        manifest=path,
        key_file=key if key.is_file() else None,
        sha256=digest,
        pages=pages if isinstance(pages, int) else 0,
    )

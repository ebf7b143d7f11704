"""The durable steps of keeping a grant: its image, the grants file, the ledger line."""

import os
from collections.abc import Callable, Sequence
from pathlib import Path

from packets.base.canonical import Json, sha256_hex
from packets.base.errors import InputRefused, OurFault, UsageError
from packets.base.files import file_sha256, lies_in, write_durably
from packets.recipe.loader import load_bytes
from packets.recipe.text_file import read_small_file, text_of
from packets.sealing.ledger import append_locked, entries
from packets.sealing.ledger_chain import FILE_NAME as LEDGER
from packets.signatures.grant import Grant, GrantsFile
from packets.signatures.grants import GRANTS_FILE

SIGNATURES = "signatures"
"""Folder of a client's grants, in the client folder."""


def refuse_links(home: Path, lock: Path) -> None:
    """Refuse links by which a record would be written somewhere else."""
    file = home / GRANTS_FILE
    if not lies_in(home, lock) or file.is_symlink():
        raise InputRefused(
            "this is a link, and a record is not written through one",
            where=f"{SIGNATURES}/{GRANTS_FILE}",
            remedy="Put the folder and the file themselves in their place.",
        )


def may_be_kept(path: Path, sha256: str) -> bool:
    """Whether an image may get this name: it is free, or a stopped run left the same there."""
    if not os.path.lexists(path):
        return True
    return path.is_file() and not path.is_symlink() and file_sha256(path) == sha256


def drawing_path(image: Path) -> Path:
    """Where the outlines of a drawn signature lie: beside its image, under the same name."""
    return image.with_suffix(".svg")


def write_image(path: Path, png: bytes) -> None:
    """Keep an image under its name. Raises UsageError where another file has that name."""
    if not may_be_kept(path, sha256_hex(png)):
        raise UsageError(
            "another file has the name of the image to be kept",
            where=f"{SIGNATURES}/{path.name}",
            remedy="Give the grant another --id.",
        )
    if not path.exists():
        write_durably(path, png)


def write_grants(home: Path, change: Callable[[str], str], expected: Sequence[Grant]) -> None:
    """Change the text of a grants file, but only into one that says what is expected."""
    file = home / GRANTS_FILE
    text = text_of(read_small_file(file), file) if file.exists() else ""
    changed = change(text).encode()
    if load_bytes(changed, file, GrantsFile).grant != tuple(expected):
        raise OurFault("a changed grants file would not say what was meant", where=file.name)
    write_durably(file, changed)


def note_once(lock: Path, event: str, grant: Grant, facts: dict[str, Json]) -> None:
    """The ledger line of an event, unless a run before has written it."""
    known = entries(lock / LEDGER)
    if not any(line.event == event and line.facts.get("grant") == grant.id for line in known):
        append_locked(lock, event, {"grant": grant.id, **facts})


def recorded_facts(grant: Grant) -> dict[str, Json]:
    """What the ledger says of a grant that was recorded."""
    return {
        "role": grant.role.value,
        "how": grant.how,
        "given_at": grant.given_at.isoformat(),
        "covers": list(grant.covers),
        "valid_until": grant.valid_until.isoformat(),
        "image_sha256": grant.image_sha256,
        **({"drawing_sha256": grant.drawing_sha256} if grant.drawing_sha256 else {}),
        "document_sha256": grant.document_sha256,
        "recorded_by": grant.recorded_by,
    }

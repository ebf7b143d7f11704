"""Everything that decides over a packet, as one keyed digest.

It holds digests of files only, all taken into one HMAC with the client's own key: no
part of it can be tried by itself, and nothing can be tried without the key.
"""

import os
from collections.abc import Iterator
from pathlib import Path

from packets.base.canonical import Json, canonical_json
from packets.base.files import sha256_where_file
from packets.batch.batch_key import BatchKey
from packets.batch.records import ClientJob
from packets.intake.client_folder import SOURCE_PASSWORDS
from packets.intake.engagement import ENGAGEMENT_FILE
from packets.intake.identifiers_file import IDENTIFIERS_FILE
from packets.intake.office import find_office
from packets.sealing.office_key import PUBLIC_SUFFIX
from packets.sealing.standing import standing_place

_SINGLE = (ENGAGEMENT_FILE, IDENTIFIERS_FILE, SOURCE_PASSWORDS)
_SIGNING = frozenset({".toml", ".png", ".jpg", ".jpeg", ".svg"})
"""Endings of what counts among signatures; a ledger grows there, and keys lie there, too."""


def fingerprint(job: ClientJob, key: BatchKey) -> str:
    """The digest of the client folder as it lies there, for this recipe and program.

    Raises OSError where a file cannot be read, and what `find_office` raises.
    """
    client = Path(job.client)
    parts: list[Json] = ["packets batch 1", job.program, job.recipe_sha256]
    for name in _SINGLE:
        parts.append([name, sha256_where_file(client / name)])
    parts.extend(_files(client / "documents"))
    parts.extend(_files(client / "signatures", _SIGNING))
    place = standing_place(client)
    parts.append(["standing passphrase", sha256_where_file(place.path) if place else ""])
    parts.extend(_office(client, Path(job.office) if job.office else None))
    return key.digest("fingerprint", canonical_json(parts)).hex()


def _office(client: Path, given: Path | None) -> Iterator[Json]:
    office = find_office(client, given)
    if office is None:
        return
    yield ["office", sha256_where_file(office.path)]
    if office.store is not None:
        yield from _files(office.store, _SIGNING)
    if office.key is not None:
        public = sorted(office.key.parent.glob(f"*{PUBLIC_SUFFIX}"))
        yield ["office key", [sha256_where_file(path) for path in public]]


def _files(folder: Path, endings: frozenset[str] | None = None) -> Iterator[Json]:
    """Name and digest of every file below, in one order; a link to a folder counts by name."""
    for name, folders, files in os.walk(folder, onerror=_raise):
        folders.sort()
        inside = os.path.relpath(name, folder)
        links = (sub for sub in folders if Path(name, sub).is_symlink())
        for file in sorted((*files, *links)):
            if endings is None or Path(file).suffix.lower() in endings:
                told = os.fsencode(f"{folder.name}/{inside}/{file}")
                digest = sha256_where_file(Path(name, file))
                yield [told.decode("utf-8", "backslashreplace"), digest]


def _raise(error: OSError) -> None:
    if not isinstance(error, FileNotFoundError):
        raise error

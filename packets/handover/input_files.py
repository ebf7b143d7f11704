"""The files beside the documents that decide what a packet becomes, as they are now.

The ledger keeps these values with each build; where one differs later, the packet is not
what a build of today would make. Of `identifiers.toml` no digest is kept, because nine
digits could be found again from it: its time and size stand for it.
"""

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

from packets.base.canonical import Json, canonical_json, sha256_hex
from packets.base.errors import PacketsError
from packets.base.files import file_sha256, sha256_where_file
from packets.handover.grant_writing import SIGNATURES
from packets.intake.engagement import ENGAGEMENT_FILE
from packets.intake.identifiers_file import IDENTIFIERS_FILE
from packets.intake.office import find_office

GRANTS_FILE = "grants.toml"
NAMES = {
    "engagement_sha256": "engagement.toml",
    "identifiers": "identifiers.toml",
    "signatures_sha256": "signatures/",
    "office_grants_sha256": "the office's grants",
}
"""How each value is called in a sentence."""


def input_files(client: Path, office: Path | None) -> tuple[tuple[str, str], ...]:
    """Each name of `NAMES` with its value; empty where there is no such file. Raises OSError."""
    return (
        ("engagement_sha256", sha256_where_file(client / ENGAGEMENT_FILE)),
        ("identifiers", _time_and_size(client / IDENTIFIERS_FILE)),
        ("signatures_sha256", _folder_digest(client / SIGNATURES)),
        ("office_grants_sha256", _office_grants(client, office)),
    )


def _time_and_size(path: Path) -> str:
    if not path.is_file():
        return ""
    found = path.stat()
    written = dt.datetime.fromtimestamp(found.st_mtime, dt.UTC)
    return f"{written.isoformat(timespec='milliseconds')}, {found.st_size} bytes"


def _folder_digest(folder: Path) -> str:
    listed: list[Json] = [list(pair) for pair in _listed(folder)]
    return sha256_hex(canonical_json(listed)) if listed else ""


def _listed(folder: Path) -> Iterator[tuple[str, str]]:
    for path in sorted(folder.iterdir()) if folder.is_dir() else ():
        if path.is_file() and not path.name.startswith("."):
            yield path.name.encode(errors="surrogateescape").hex(), file_sha256(path)


def _office_grants(client: Path, office: Path | None) -> str:
    try:
        known = find_office(client, office)
    except PacketsError:
        return ""  # whoever needs the office tells its faults
    store = known.store if known else None
    return sha256_where_file(store / GRANTS_FILE) if store else ""

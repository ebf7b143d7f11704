"""What a batch has noted in a client folder, for each recipe, sealed with the client's key.

`batch/RECIPE.json` (0600 in 0700) is written twice for each build: `begun` before it,
naming the fingerprint and how long the ledger was, and the ending after it. The ledger
alone says what was released; so a build that was cut short between the ledger and the
ending is known by its `begun`, and is not done a second time. A record that was altered,
or whose key is gone, counts as not there. The folder may be deleted: then every
client is built once more.
"""

import contextlib
import json
import stat
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from packets.base.canonical import Json, canonical_json
from packets.base.files import write_durably
from packets.batch.batch_key import BatchKey
from packets.batch.records import Ending, MadePacket
from packets.sealing.number_free import plain_text

FOLDER = "batch"
BEGUN = "begun"
_MOST_BYTES = 4 * 1024 * 1024
_SEAL = 64
"""Hexadecimal digits."""


@dataclass(frozen=True)
class ClientRecord:
    """One record."""

    recipe: str
    """The recipe's own name; it names the file."""
    state: str
    """`begun`, or one of `Ending`."""
    run: str
    fingerprint: str
    """Empty where the folder could not be read."""
    day: str
    """Of the machine's calendar, ISO 8601."""
    ledger_lines: int = 0
    ledger_head: str = ""
    """The ledger as it was before the build."""
    status: int = 0
    pages: int = 0
    packets: tuple[MadePacket, ...] = ()
    why: tuple[str, ...] = field(default_factory=tuple)

    @property
    def ending(self) -> Ending | None:
        """How it ended; None while it is only begun."""
        return None if self.state == BEGUN else Ending(self.state)


def record_folder(client: Path) -> Path:
    """The folder of records and kept copies, made where it is missing."""
    folder = client / FOLDER
    folder.mkdir(mode=0o700, exist_ok=True)
    if folder.stat().st_mode & 0o077:
        folder.chmod(0o700)
    return folder


def write_record(client: Path, record: ClientRecord, key: BatchKey) -> None:
    """Write it durably over the one before. Raises OSError."""
    body = canonical_json(_form(record))
    seal = key.digest(_purpose(record.recipe), body).hex().encode()
    write_durably(_file(client, record.recipe), seal + b"\n" + body + b"\n")


def read_record(client: Path, recipe: str, key: BatchKey) -> ClientRecord | None:
    """The record of this recipe whose seal is whole, or None."""
    try:
        file = _file(client, recipe)
        facts = file.lstat()
        if not stat.S_ISREG(facts.st_mode) or facts.st_size > _MOST_BYTES:
            return None  # a link, or a pipe that would be waited for
        data = file.read_bytes()
    except OSError:
        return None
    seal, body = data[:_SEAL], data[_SEAL + 1 : -1]
    with contextlib.suppress(ValueError, KeyError, TypeError):
        if key.seals(_purpose(recipe), body, bytes.fromhex(seal.decode("ascii"))):
            return _record(json.loads(body))
    return None


def _file(client: Path, recipe: str) -> Path:
    return client / FOLDER / f"{recipe}.json"


def _purpose(recipe: str) -> str:
    return f"record of {recipe}"


def _form(record: ClientRecord) -> dict[str, Json]:
    return {
        "recipe": record.recipe,
        "state": record.state,
        "run": record.run,
        "fingerprint": record.fingerprint,
        "day": record.day,
        "ledger": [record.ledger_lines, record.ledger_head],
        "status": record.status,
        "pages": record.pages,
        "packets": [[made.path, made.sha256] for made in record.packets],
        "why": [plain_text(sentence) for sentence in record.why],
    }


def _record(form: Any) -> ClientRecord:
    """Raises ValueError, KeyError or TypeError for what is no record."""
    state = str(form["state"])
    if state != BEGUN:
        Ending(state)
    lines, head = form["ledger"]
    return ClientRecord(
        recipe=str(form["recipe"]),
        state=state,
        run=str(form["run"]),
        fingerprint=str(form["fingerprint"]),
        day=str(form["day"]),
        ledger_lines=int(lines),
        ledger_head=str(head),
        status=int(form["status"]),
        pages=int(form["pages"]),
        packets=tuple(MadePacket(str(path), str(sha256)) for path, sha256 in form["packets"]),
        why=tuple(str(sentence) for sentence in form["why"]),
    )

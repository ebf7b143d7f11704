"""What the client's ledger says of the packets of a recipe: it alone knows what was released."""

from pathlib import Path

from packets.base.files import file_sha256
from packets.batch.client_record import ClientRecord
from packets.batch.records import MadePacket
from packets.recipe.model import Recipe
from packets.sealing.ledger_chain import FILE_NAME, Entry, Reading, read_ledger
from packets.sealing.recovery import recover
from packets.sealing.release_steps import PREPARED, RELEASED, STILL_WAITS, WAITS, WITHDRAWN
from packets.sealing.waiting import FOLDER as TO_REVIEW
from packets.sealing.waiting import SUPERSEDED

_THERE = frozenset({RELEASED, WAITS})
_GONE = frozenset({WITHDRAWN, SUPERSEDED})


def put_in_order(client: Path, recipe: Recipe) -> None:
    """Finish or undo what a crash cut short, so that the ledger tells the truth."""
    for name in (recipe.audience.folder, TO_REVIEW):
        recover(client, client / name)


def ledger_now(client: Path) -> Reading:
    """The ledger as it lies there. Raises `InputRefused` where it cannot be read."""
    return read_ledger(client / FILE_NAME)


def still_there(client: Path, recipe: Recipe, packets: tuple[MadePacket, ...]) -> bool:
    """Whether the ledger vouches for each packet, and each lies there as it was made.

    One that waited for a person may have gone out since: the very bytes, in another folder.
    """
    if not packets:
        return False
    reading = ledger_now(client)
    return reading.verdict.sound and all(
        _stands(reading.entries, made.sha256) and _found(client, recipe, made) for made in packets
    )


def made_since(
    client: Path, record: ClientRecord, recipe_name: str, recipe_sha256: str
) -> tuple[tuple[MadePacket, ...], int]:
    """Packets of the recipe that the ledger has gained since the record was begun, and their pages.

    Nothing where the ledger is not the one that the record was begun with.
    """
    entries = ledger_now(client).entries
    before = record.ledger_lines
    if len(entries) < before or (before and entries[before - 1].sha256 != record.ledger_head):
        return (), 0
    made: dict[str, MadePacket] = {}
    pages = 0
    for entry in entries[before:]:
        facts = entry.facts
        sha256 = str(facts.get("sha256"))
        mine = facts.get("recipe") == recipe_name and facts.get("recipe_sha256") == recipe_sha256
        new = entry.event == PREPARED and sha256 not in made
        if new and mine and _stands(entries, sha256):
            made[sha256] = MadePacket(f"{facts.get('folder')}/{facts.get('packet')}", sha256)
            told = facts.get("pages")
            pages += told if isinstance(told, int) else 0
    return tuple(made.values()), pages


def _stands(entries: tuple[Entry, ...], sha256: str) -> bool:
    events = [
        entry.event
        for entry in entries
        if entry.facts.get("sha256") == sha256
        and entry.event in _THERE | _GONE
        and not entry.facts.get(STILL_WAITS)
    ]
    return bool(events) and events[-1] in _THERE


def _found(client: Path, recipe: Recipe, made: MadePacket) -> bool:
    places = (
        Path(made.path),
        *(Path(name, Path(made.path).name) for name in (recipe.audience.folder, TO_REVIEW)),
    )
    return any(
        (client / place).is_file()
        and not (client / place).is_symlink()
        and file_sha256(client / place) == made.sha256
        for place in places
    )

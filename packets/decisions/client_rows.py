"""The client folders under a root, those that need a person first.

Nothing is recognised and no packet is opened: ledgers, digests and times tell it all.
"""

from pathlib import Path

from packets.base.errors import FileFaults, InputRefused, PacketsError, UsageError
from packets.decisions.changes import Present
from packets.decisions.recipe_states import last_builds, row_of
from packets.decisions.records import ClientRow, RecipeRow, State
from packets.handover.retention_survey import client_folders
from packets.intake.engagement import ENGAGEMENT_FILE, EngagementFile, engagement_faults
from packets.recipe.loader import load_file
from packets.recipe.text_file import shown_path
from packets.sealing.ledger_chain import FILE_NAME, Entry, read_ledger
from packets.sealing.number_free import plain_text

_URGENCY = {state: place for place, state in enumerate(State)}


def clients_under(root: Path, office: Path | None = None) -> tuple[ClientRow, ...]:
    """One row for each client folder at or under `root`.

    Sorted by state in the order of `State`, then by engagement id. What cannot be read
    has a row of its own, never an error. Raises `UsageError` where there is no folder.
    """
    if not root.is_dir():
        raise UsageError(
            "there is no such folder",
            where=shown_path(root),
            remedy="Give the path of a client folder, or of a folder above client folders.",
        )
    unread: list[str] = []
    rows = [client_row(folder, root, office) for folder in client_folders(root, unread)]
    rows += [
        ClientRow(root, ".", "", "", None, State.UNREADABLE, "", "", words) for words in unread
    ]
    return tuple(sorted(rows, key=lambda row: (_URGENCY[row.state], row.engagement_id, row.name)))


def client_row(folder: Path, root: Path, office: Path | None = None) -> ClientRow:
    """The row of one client folder; its faults are told, not raised."""
    name = plain_text(folder.relative_to(root).as_posix())
    try:
        engagement = load_file(folder / ENGAGEMENT_FILE, EngagementFile, engagement_faults)
    except PacketsError as error:
        return ClientRow(folder, name, "", "", None, State.UNREADABLE, "", "", _told(error))
    head = engagement.engagement
    known = (folder, name, head.id, plain_text(head.household), head.tax_year)
    try:
        entries = sound_entries(folder)
        rows = recipe_rows(folder, entries, office)
    except (PacketsError, OSError) as error:
        words = _told(error) if isinstance(error, PacketsError) else "a file cannot be read"
        return ClientRow(*known, State.UNREADABLE, "", "", words)
    if not rows:
        return ClientRow(*known, State.NOTHING_BUILT, "", "", "")
    first = rows[0]
    return ClientRow(*known, first.state, first.recipe, first.when, first.note, rows)


def sound_entries(folder: Path) -> tuple[Entry, ...]:
    """The lines of a client's ledger. Raises `InputRefused` for one that is not whole."""
    reading = read_ledger(folder / FILE_NAME)
    verdict = reading.verdict
    if not verdict.sound and not reading.torn:  # an unfinished line is repaired by the next run
        raise InputRefused(
            f"the ledger is not whole: {verdict.why}",
            where=FILE_NAME,
            remedy="`packets ledger verify` with this folder tells more.",
        )
    return reading.entries


def recipe_rows(
    folder: Path, entries: tuple[Entry, ...], office: Path | None
) -> tuple[RecipeRow, ...]:
    """What became of the last build by each recipe, the most pressing first, then the newest."""
    present = Present(folder, office, entries)
    found = [
        row_of(build, entries, () if build.held else present.changes(build.facts))
        for build in last_builds(entries).values()
    ]
    newest = sorted(found, key=lambda row: row.when, reverse=True)
    return tuple(sorted(newest, key=lambda row: _URGENCY[row.state]))


def _told(error: PacketsError) -> str:
    if isinstance(error, FileFaults):
        return plain_text(f"{error.file}: {'; '.join(str(fault) for fault in error.faults[:3])}")
    return plain_text(f"{error.where}: {error.what}" if error.where else error.what)

"""What an office may dispose of on a day, and what it must keep, until when and why.

Asked of the dates in engagement.toml as they are now and of those that the ledger
recorded with each packet: the later one counts. A date that may still turn out later,
because a day it depends on is not known, lets nothing go. What cannot be read is kept.
Nothing here deletes, moves or changes anything.
"""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from packets.base.errors import FileFaults, InputRefused
from packets.intake.engagement import ENGAGEMENT_FILE, EngagementFile, engagement_faults
from packets.intake.folders_under import folders_under, no_client_folder
from packets.recipe.loader import load_file
from packets.recipe.text_file import shown_path
from packets.sealing.ledger_chain import FILE_NAME, Entry, Reading, read_ledger
from packets.sealing.release_steps import PREPARED, RELEASED, WITHDRAWN
from packets.sealing.retention import RULES, RetentionDays, RetentionRule


@dataclass(frozen=True)
class KeptRecords:
    """The records of one rule."""

    rule: str
    source: str
    keep_until: dt.date | None
    """Last day on which they must be kept; None while it is not known."""
    may_go: bool
    why: str


@dataclass(frozen=True)
class KeptPacket:
    """A released packet; it may hold papers of every rule, so the latest date is its own."""

    packet: str
    folder: str
    """As the ledger names it, seen from the client folder."""
    keep_until: dt.date | None
    may_go: bool


@dataclass(frozen=True)
class ClientRetention:
    """One client folder."""

    folder: Path
    engagement_id: str
    tax_year: int | None
    records: tuple[KeptRecords, ...] = ()
    packets: tuple[KeptPacket, ...] = ()
    unread: tuple[str, ...] = ()
    """What could not be judged, in sentences; then nothing of the folder may go."""
    notes: tuple[str, ...] = ()

    @property
    def keep_until(self) -> dt.date | None:
        """Last day for the folder as a whole; None while one of the dates is not known."""
        return _last([line.keep_until for line in self.records])

    @property
    def may_go(self) -> bool:
        """Whether all of it may go: documents, signatures, passphrases and ledger too."""
        return bool(self.records) and all(line.may_go for line in self.records)


def survey(root: Path, on: dt.date, *, is_today: bool = False) -> tuple[ClientRetention, ...]:
    """Every client folder under `root`, or `root` itself, judged for a day.

    `is_today`: the day was taken from this machine's clock, so a ledger that goes
    beyond it tells that the clock was set back. Raises `UsageError` where there is no
    client folder.
    """
    unread: list[str] = []
    folders = client_folders(root, unread)
    found = [client_retention(folder, on, is_today=is_today) for folder in folders]
    if unread:
        found.append(ClientRetention(root, "", None, unread=tuple(unread)))
    if not found:
        raise no_client_folder(root)
    return tuple(found)


def client_folders(root: Path, unread: list[str]) -> Iterator[Path]:
    """Every client folder at or under `root`; `unread` gets a sentence for what cannot be read."""

    def cannot(error: OSError) -> None:
        unread.append(f"this folder cannot be read: {shown_path(str(error.filename))}")

    return folders_under(root, cannot)


def client_retention(folder: Path, on: dt.date, *, is_today: bool = False) -> ClientRetention:
    """One client folder, judged for a day; faults in its files are told, not raised."""
    unread: list[str] = []
    engagement = _engagement(folder, unread)
    reading = _ledger(folder, unread)
    lines = reading.entries if reading else ()
    head = engagement.engagement if engagement else None
    days = (
        RetentionDays(head.presented_on, head.due_on, head.extended_due_on, head.received_on)
        if head
        else RetentionDays()
    )
    records = tuple(_records(days, lines, on, keep_all=bool(unread)))
    notes = []
    if is_today and lines and lines[-1].at[:10] > on.isoformat():
        notes.append("the ledger goes on after today: this machine's clock is behind")
    return ClientRetention(
        folder=folder,
        engagement_id=head.id if head else "",
        tax_year=head.tax_year if head else None,
        records=records,
        packets=tuple(_packets(lines, records)),
        unread=tuple(unread),
        notes=tuple(notes),
    )


def _engagement(folder: Path, unread: list[str]) -> EngagementFile | None:
    try:
        return load_file(folder / ENGAGEMENT_FILE, EngagementFile, engagement_faults)
    except FileFaults as error:
        unread.append(f"{ENGAGEMENT_FILE} has faults: {error.faults[0]}")
        return None


def _ledger(folder: Path, unread: list[str]) -> Reading | None:
    try:
        reading = read_ledger(folder / FILE_NAME)
    except InputRefused:
        unread.append("the ledger cannot be read")
        return None
    if not reading.verdict.sound:
        at = f", line {reading.verdict.bad_line}" if reading.verdict.bad_line else ""
        unread.append(f"the ledger is not whole{at}: {reading.verdict.why}")
    return reading


def _records(
    days: RetentionDays, lines: tuple[Entry, ...], on: dt.date, *, keep_all: bool
) -> Iterator[KeptRecords]:
    recorded = recorded_dates(lines)
    for rule in RULES:
        until, source = _later(rule, days, recorded)
        missing = rule.missing(days)
        if missing:
            why = f"not known for certain: {ENGAGEMENT_FILE} does not give {', '.join(missing)}"
            yield KeptRecords(rule.rule, source, None, False, why)
            continue
        yield _judged(rule.rule, source, until, on, keep_all)
    for name in sorted(recorded.keys() - {rule.rule for rule in RULES}):
        yield _judged(name, recorded[name][1], recorded[name][0], on, keep_all)


def _later(
    rule: RetentionRule, days: RetentionDays, recorded: dict[str, tuple[dt.date, str]]
) -> tuple[dt.date | None, str]:
    now, before = rule.until(days), recorded.get(rule.rule)
    if before and (now is None or before[0] > now):
        return before
    return now, rule.source


def _judged(
    rule: str, source: str, until: dt.date | None, on: dt.date, keep_all: bool
) -> KeptRecords:
    if until is None or keep_all:
        return KeptRecords(rule, source, until, False, "the folder could not be judged")
    if on <= until:
        return KeptRecords(rule, source, until, False, f"to be kept through {until}")
    return KeptRecords(rule, source, until, True, f"was to be kept through {until}")


def recorded_dates(lines: tuple[Entry, ...]) -> dict[str, tuple[dt.date, str]]:
    """The latest date of each rule that the ledger recorded with a packet, and its source."""
    found: dict[str, tuple[dt.date, str]] = {}
    for entry in lines:
        told = entry.facts.get("retention") if entry.event == PREPARED else None
        for line in told if isinstance(told, list) else []:
            if isinstance(line, dict):
                rule, source = str(line.get("rule")), str(line.get("source"))
                try:
                    until = dt.date.fromisoformat(str(line.get("keep_until")))
                except ValueError:
                    continue
                if rule not in found or until > found[rule][0]:
                    found[rule] = (until, source)
    return found


def _packets(lines: tuple[Entry, ...], records: tuple[KeptRecords, ...]) -> Iterator[KeptPacket]:
    folders: dict[str, str] = {}
    out: dict[str, None] = {}
    for entry in lines:
        packet = str(entry.facts.get("packet", ""))
        if entry.event == PREPARED:
            folders[packet] = str(entry.facts.get("folder", ""))
        elif entry.event == RELEASED:
            out[packet] = None
        elif entry.event == WITHDRAWN:
            out.pop(packet, None)
    until = _last([line.keep_until for line in records])
    may_go = bool(records) and all(line.may_go for line in records)
    for packet in out:
        yield KeptPacket(packet, folders.get(packet, ""), until, may_go)


def _last(days: list[dt.date | None]) -> dt.date | None:
    known = [day for day in days if day is not None]
    return max(known) if known and len(known) == len(days) else None

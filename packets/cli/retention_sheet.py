"""How retention is told: what may go on a day, what must stay, and why."""

import datetime as dt
from collections.abc import Iterator, Sequence
from pathlib import Path

from rich.console import Console

from packets.base.canonical import Json
from packets.cli.plain_text import count_of, plain
from packets.cli.sheet import columns, heading, points, say
from packets.handover.retention_survey import ClientRetention, KeptPacket, KeptRecords

CAUTION = (
    "These are the federal rules known to this program, counted from the dates in engagement.toml. "
    "The office's own adviser, current IRS publications and state rules decide; state rules "
    "differ, and some ask for more years.",
    "Papers of several rules often lie in one document: it goes with the latest of them.",
    "A dispute, an examination, a claim or a contract may ask to keep longer; 16 CFR 314.4(c)(6) "
    "asks to dispose of what nothing asks to keep.",
    "Nothing was deleted, and this program deletes nothing.",
)


def retention_form(on: dt.date, clients: Sequence[ClientRetention]) -> dict[str, Json]:
    """Every client folder with its records and packets."""
    return {
        "on": on.isoformat(),
        "clients": [
            {
                "folder": plain(str(client.folder)),
                "engagement": plain(client.engagement_id),
                "tax_year": client.tax_year,
                "keep_until": _day(client.keep_until),
                "may_go": client.may_go,
                "records": [record_form(line) for line in client.records],
                "packets": [
                    {
                        "packet": plain(line.packet),
                        "folder": plain(line.folder),
                        "keep_until": _day(line.keep_until),
                        "may_go": line.may_go,
                    }
                    for line in client.packets
                ],
                "unread": [plain(sentence) for sentence in client.unread],
                "notes": [plain(sentence) for sentence in client.notes],
            }
            for client in clients
        ],
        "caution": list(CAUTION),
    }


def record_form(line: KeptRecords) -> Json:
    """The records of one rule."""
    return {
        "rule": plain(line.rule),
        "source": plain(line.source),
        "keep_until": _day(line.keep_until),
        "may_go": line.may_go,
        "why": plain(line.why),
    }


def _day(day: dt.date | None) -> str | None:
    return day.isoformat() if day else None


def show_retention(
    console: Console, root: Path, on: dt.date, clients: Sequence[ClientRetention]
) -> None:
    """First what may go, then what must stay, then what could not be judged."""
    say(console, f"Retention on {on}, {count_of(len(clients), 'client folder')}.")
    _table(console, "May be disposed of", [row for c in clients for row in _rows(root, c, go=True)])
    _table(console, "Must be kept", [row for c in clients for row in _rows(root, c, go=False)])
    unread = [
        f"{_name(root, client)}: {sentence}"
        for client in clients
        for sentence in (*client.unread, *client.notes)
    ]
    if unread:
        heading(console, "Look at this")
        points(console, unread)
    heading(console, "Caution")
    points(console, CAUTION)


Row = tuple[str, str, str, str]


def _rows(root: Path, client: ClientRetention, *, go: bool) -> Iterator[Row]:
    name = _name(root, client)
    if client.may_go and go:
        whole = "the whole folder, with documents, signatures, passphrases and ledger"
        yield name, whole, _until(client.keep_until), "every date below has passed"
    for line in client.records:
        if line.may_go is go:
            yield name, line.rule, _until(line.keep_until), _why(line)
    for packet in client.packets:
        if packet.may_go is go:
            yield name, f"packet {_place(packet)}", _until(packet.keep_until), "latest of all dates"


def _why(line: KeptRecords) -> str:
    return line.source if line.keep_until else f"{line.why}; {line.source}"


def _place(packet: KeptPacket) -> str:
    return f"{packet.folder}/{packet.packet}" if packet.folder else packet.packet


def _until(day: dt.date | None) -> str:
    return str(day) if day else "not known"


def _name(root: Path, client: ClientRetention) -> str:
    inside = client.folder.relative_to(root) if client.folder != root else client.folder
    return str(inside)


def _table(console: Console, title: str, rows: Sequence[Row]) -> None:
    heading(console, title)
    if not rows:
        say(console, "  Nothing.")
        return
    shown, last = [], ""
    for name, *rest in rows:
        shown.append((name if name != last else "", *rest))
        last = name
    names = ("client folder", "what", "kept through", "source")
    columns(console, shown, names=names, narrow=(2,))

"""How a batch is told: one line for each client, those first that need a person."""

from collections.abc import Sequence
from pathlib import Path

from rich.console import Console

from packets.base.canonical import Json
from packets.batch.records import BatchReport, ClientOutcome, Ending
from packets.cli.outcome import OUTCOME_WORDS
from packets.cli.plain_text import count_of, plain
from packets.cli.sheet import BAD, GOOD, Cell, columns, heading, points, say

ORDER = (Ending.FAILED, Ending.REFUSED, Ending.HELD, Ending.DONE, Ending.UNCHANGED)
_GOOD = (Ending.DONE, Ending.UNCHANGED)


def show_batch(console: Console, report: BatchReport) -> None:
    """Print the table, and what to do next."""
    counted = ", ".join(f"{report.count(e)} {e.value}" for e in ORDER if report.count(e))
    say(console, (count_of(len(report.outcomes), "client"), "bold"), f": {counted}.")
    say(
        console,
        f"Recipe {report.order.recipe}, {report.workers}, {report.seconds:.1f} s, "
        f"{a_minute(report):.1f} clients a minute.",
    )
    heading(console, "Clients")
    rows = [_row(report, one) for e in ORDER for one in report.outcomes if one.ending is e]
    columns(
        console, rows, names=("client", "outcome", "pages", "s", "packet, or why"), narrow=(1, 2, 3)
    )
    heading(console, "Next")
    points(console, _next(report))


def _row(report: BatchReport, one: ClientOutcome) -> tuple[Cell, ...]:
    return (
        name_of(report, one.client),
        (one.ending.value, GOOD if one.ending in _GOOD else BAD),
        str(one.pages) if one.pages else "",
        f"{one.seconds:.1f}",
        in_one_line((*(made.path for made in one.packets), *one.why)),
    )


def in_one_line(sentences: Sequence[str]) -> str:
    """One behind the other, each told from the next."""
    ended = [words if words.endswith((".", "?", "!")) else f"{words};" for words in sentences]
    return " ".join(ended).removesuffix(";")


def _next(report: BatchReport) -> list[str]:
    steps = []
    if any(report.count(ending) for ending in (Ending.FAILED, Ending.REFUSED, Ending.HELD)):
        steps.append(
            "Put right what is named above, then run the same command again: what is done "
            "and has not changed is passed over."
        )
    if report.count(Ending.DONE):
        steps.append("Open each packet once and look through it before it goes out.")
    return steps or ["Nothing: every packet is as it was."]


def name_of(report: BatchReport, client: Path) -> str:
    """The client folder as seen from the root."""
    root = report.order.root
    return client.relative_to(root).as_posix() if client != root else str(client)


def a_minute(report: BatchReport) -> float:
    """Clients a minute."""
    return 60 * len(report.outcomes) / report.seconds if report.seconds else 0.0


def batch_form(report: BatchReport) -> dict[str, Json]:
    """`recipe`, `workers`, figures, `counts` and `clients`."""
    return {
        "root": plain(str(report.order.root)),
        "recipe": plain(report.order.recipe),
        "workers": plain(report.workers),
        "seconds": round(report.seconds, 3),
        "clients_per_minute": round(a_minute(report), 3),
        "counts": {ending.value: report.count(ending) for ending in Ending},
        "clients": [_form(report, one) for one in report.outcomes],
    }


def _form(report: BatchReport, one: ClientOutcome) -> Json:
    return {
        "client": plain(name_of(report, one.client)),
        "ended": one.ending.value,
        "outcome": OUTCOME_WORDS[one.status],
        "exit_status": int(one.status),
        # Named after the engagement, so they hold no number and stay usable as paths.
        "packets": [{"packet": made.path, "sha256": made.sha256} for made in one.packets],
        "pages": one.pages,
        "seconds": round(one.seconds, 3),
        "why": [plain(sentence) for sentence in one.why],
    }

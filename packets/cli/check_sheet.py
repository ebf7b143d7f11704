"""What `packets check` tells: each file that is held, and how many are clean."""

from pathlib import Path

from rich.console import Console

from packets.base.canonical import Json
from packets.base.errors import ExitStatus
from packets.cli.outcome import Outcome
from packets.cli.plain_text import count_of
from packets.cli.sheet import Verbatim, heading, lines, points
from packets.cli.verdict_form import verdict_form
from packets.cli.verdict_sheet import show_verdict
from packets.handover.check_request import CheckReport
from packets.outbound.records import Judgement, Verdict

_FEW = 20
"""Up to so many files are all shown; of more, only those that are held."""


def check_outcome(report: CheckReport, written: tuple[tuple[str, Path], ...]) -> Outcome:
    """Clean only where there was something to check and all of it is clean."""
    verdicts, held = report.verdicts, report.held
    # No verdict at all is not a clean one.
    status = ExitStatus.HELD if held or not verdicts else ExitStatus.CLEAN
    said = [f"Held: {len(held)} of {count_of(len(verdicts), 'file')}."] if status else []
    return Outcome(
        status=status,
        document=lambda: _form(report),
        show=lambda console: _show(console, report, written),
        note=" ".join([*said, *report.notes]),
    )


def _form(report: CheckReport) -> dict[str, Json]:
    return {
        "files": len(report.verdicts),
        "held": len(report.held),
        "verdicts": [verdict_form(verdict) for verdict in report.verdicts],
        "notes": list(report.notes),
    }


def _show(console: Console, report: CheckReport, written: tuple[tuple[str, Path], ...]) -> None:
    verdicts = report.verdicts
    shown = verdicts if len(verdicts) <= _FEW else report.held
    for verdict in shown:
        heading(console, one_line(verdict.file))
        show_verdict(console, verdict)
    if len(shown) < len(verdicts):
        heading(console, "Clean")
        points(console, [count_of(len(verdicts) - len(shown), "other file")])
    if written:
        heading(console, "Written")
        lines(console, [(word, Verbatim(path)) for word, path in written])
    heading(console, "Next")
    points(console, [*_next(verdicts), *report.notes])


def _next(verdicts: tuple[Verdict, ...]) -> list[str]:
    if not verdicts:
        return ["There was no file to check: name a file or a folder that holds one."]
    if all(verdict.judgement is Judgement.CLEAN for verdict in verdicts):
        return ["Nothing was seen. A clean check is evidence, not a guarantee."]
    return [
        "Do not send the files that are held. Mask PDFs with `packets mask`, take the number out "
        "of others, then check again."
    ]


def one_line(name: str) -> str:
    """A name without its line feeds, so that none can look like lines of ours."""
    return name.replace("\n", "?")

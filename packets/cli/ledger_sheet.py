"""How a ledger is told: its lines, whether it is whole, who signed it, until when to keep what."""

from collections.abc import Iterator

from rich.console import Console

from packets.base.canonical import Json
from packets.cli.plain_text import count_of, page_ranges, plain
from packets.cli.proof_words import STYLES, finding_form
from packets.cli.retention_sheet import record_form
from packets.cli.sheet import BAD, GOOD, Verbatim, columns, heading, lines, points, say
from packets.handover.ledger_report import LedgerReport
from packets.sealing.ledger import Entry
from packets.sealing.source_versions import CHANGED, EVENT, FIRST_SEEN, GONE

BROKEN_NEXT = (
    "Keep both ledger files as they are, compare them with your last backup, and find out "
    "who changed them before you build for this client again."
)
WORDS = {FIRST_SEEN: "first seen", CHANGED: "changed", GONE: "gone"}
SENTENCES = ("reasons", "what")
_SHORT = 12
"""Characters of a digest that are shown; the whole of it is in the file and in --json."""


def ledger_form(report: LedgerReport) -> dict[str, Json]:
    """Whether the ledger is whole, and the lines that were asked for."""
    verdict = report.verdict
    return {
        "sound": verdict.sound,
        "lines": verdict.lines,
        "bad_line": verdict.bad_line,
        "why": plain(verdict.why),
        "head": verdict.head,
        "clock_set_back": list(verdict.clock_back),
        "signature": finding_form(report.signature),
        "entries": [
            {
                "line": entry.line,
                "event": plain(entry.event),
                "at": entry.at,
                "facts": dict(entry.facts),
                "sha256": entry.sha256,
            }
            for entry in report.entries
        ],
        "retention": [record_form(line) for line in report.retention],
    }


def show_events(console: Console, report: LedgerReport) -> None:
    """Every line, each version of each document, what is to be kept, then the judgement."""
    if report.entries:
        rows = [(str(entry.line), entry.at, entry.event, _facts(entry)) for entry in report.entries]
        columns(console, rows, names=("line", "when (UTC)", "what", "facts"), narrow=(0, 1))
    documents = [
        row for entry in report.entries if entry.event == EVENT for row in _documents(entry)
    ]
    if documents:
        heading(console, "Documents")
        names = ("when (UTC)", "what", "document", "version", "SHA-256")
        columns(console, documents, names=names, narrow=(0, 1, 3, 4))
    if report.retention:
        heading(console, "Keep until")
        kept = [
            (str(line.keep_until or "not known"), line.rule, line.source)
            for line in report.retention
        ]
        columns(console, kept, narrow=(0,))
        console.print()
    show_verdict(console, report)


def _facts(entry: Entry) -> str:
    """The plain facts of a line; digests by their first twelve digits."""
    if entry.event == EVENT:
        counted = {words: len(_lines(entry, kind)) for kind, words in WORDS.items()}
        return ", ".join(f"{count} {words}" for words, count in counted.items() if count)
    return ", ".join(
        f"{name} {str(value)[:_SHORT] if name.endswith('sha256') else value}"
        for name, value in _told(entry)
        if isinstance(value, str | int | float) and value != ""
    )


def _told(entry: Entry) -> Iterator[tuple[str, Json]]:
    """The facts of a line; sentences, as of a hold or a correction, in one."""
    for name, value in entry.facts.items():
        if isinstance(value, list) and name in SENTENCES:
            yield name, "; ".join(str(one) for one in value)
        else:
            yield name, value


def _documents(entry: Entry) -> list[tuple[str, ...]]:
    """When, what, which document, version and digest: one row for each in a line of the ledger."""
    rows: list[tuple[str, ...]] = []
    for kind, words in WORDS.items() if entry.event == EVENT else ():
        for line in _lines(entry, kind):
            digest = Verbatim(str(line.get("sha256"))[:_SHORT])
            version = str(line.get("version", ""))
            rows.append((entry.at, words, str(line.get("file")), version, digest))
    return rows


def _lines(entry: Entry, kind: str) -> list[dict[str, Json]]:
    listed = entry.facts.get(kind)
    return [line for line in (listed if isinstance(listed, list) else []) if isinstance(line, dict)]


def show_verdict(console: Console, report: LedgerReport) -> None:
    """Whether it is whole, and by whom it was signed."""
    verdict, signature = report.verdict, report.signature
    good = count_of(verdict.lines, "line") if verdict.lines else "no line yet"
    if verdict.sound:
        say(console, ("Whole", GOOD), f": {good}; each is bound to the one before.")
        lines(console, [("head", Verbatim(verdict.head))])
    else:
        where = f"line {verdict.bad_line} is the first bad one, " if verdict.bad_line else ""
        say(console, ("Not whole", BAD), f": {where}{verdict.why}.")
        points(console, [f"Good before it: {good}."])
    if verdict.lines or signature.key:
        say(
            console,
            "Signature: ",
            (signature.standing.value, STYLES[signature.standing]),
            f", {signature.words}.",
        )
        if signature.key:
            lines(console, [("key", Verbatim(signature.key))])
    if verdict.clock_back:
        say(
            console,
            f"The clock was set back before line {page_ranges(verdict.clock_back)}: "
            "dated before the line in front of it. The order of the lines is not in doubt.",
        )
    if not verdict.sound:
        heading(console, "Next")
        points(console, [BROKEN_NEXT])

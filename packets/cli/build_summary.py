"""The summary after a build, in plain words."""

from rich.console import Console

from packets.cli.build_next import next_steps
from packets.cli.kind_words import kinds_in_words
from packets.cli.plain_text import count_of, page_ranges, pages_in_words
from packets.cli.proof_sheet import proof_line
from packets.cli.sheet import BAD, GOOD, Verbatim, columns, heading, lines, points, say
from packets.cli.verdict_sheet import show_verdict
from packets.pipeline_records import BuildReport
from packets.selection.records import PlannedPart
from packets.signatures.records import RoleLines


def show_build(console: Console, report: BuildReport, *, passphrase_may_show: bool) -> None:
    """Print all that a preparer wants to know about one packet, released or held.

    The passphrase is printed only where `passphrase_may_show` says that standard
    output is a terminal: never into a pipe, a file or a log.
    """
    _show_head(console, report)
    _show_contents(console, report)
    _show_left_out(console, report)
    _show_masks(console, report)
    _show_signatures(console, report)
    _show_check(console, report)
    _show_files(console, report)
    _show_passphrase(console, report, may_show=passphrase_may_show)
    heading(console, "Next")
    points(console, next_steps(report))


def _show_head(console: Console, report: BuildReport) -> None:
    facts = report.facts
    if report.waits:
        say(console, ("Waits for a person to look", GOOD), f": {facts.title}. Not released yet.")
    elif report.released:
        say(console, ("Released", GOOD), f": {facts.title}")
    else:
        say(console, ("Held", BAD), f": {facts.title}. Nothing was released.")
    say(
        console,
        f"Recipe {facts.recipe_name}, engagement {facts.engagement_id}, tax year {facts.tax_year}, "
        f"{count_of(facts.pages or len(report.plan.pages), 'page')}, {report.seconds:.1f} s",
    )
    if report.released is None:
        heading(console, "Why it was held")
        points(console, report.held)


def _show_contents(console: Console, report: BuildReport) -> None:
    heading(console, "What went in" if report.released else "What would have gone in")
    titles = {part.heading: _titles(part) for part in report.plan.parts}
    rows = [
        (name, _span(first, pages), titles.get(name, ""))
        for name, first, pages in report.facts.parts
    ] or [
        # Held before anything was assembled: only the plan knows.
        (part.heading, _planned(part), _titles(part))
        for part in report.plan.parts
    ]
    if rows:
        columns(console, rows, narrow=(1,))
    else:
        say(console, "  No part has a page.")


def _titles(part: PlannedPart) -> str:
    return ", ".join(dict.fromkeys(document.title for document in part.documents))


def _planned(part: PlannedPart) -> str:
    return count_of(sum(len(document.pages) for document in part.documents), "page")


def _span(first: int, pages: int) -> str:
    return pages_in_words(range(first, first + pages)) if pages else "no page"


def _show_left_out(console: Console, report: BuildReport) -> None:
    rows = [
        (source.file, page_ranges(pages), why)
        for source in report.facts.sources
        for pages, why in source.left_out
    ]
    heading(console, "What was left out, and why")
    if rows:
        columns(console, rows, names=("file", "pages", "why"))
    else:
        say(console, "  Nothing: every source page is in the packet.")
    if report.left_behind and report.facts.pages:
        heading(console, "What the rebuild did not take along")
        points(console, report.left_behind)


def _show_masks(console: Console, report: BuildReport) -> None:
    heading(console, "Masked")
    if report.facts.masks:
        points(console, kinds_in_words(mask.kind for mask in report.facts.masks))
    elif report.verdict is not None:
        say(console, "  Nothing: no number was found.")
    elif report.released is None:
        say(console, "  Not reached: the packet was held before.")
    else:
        say(console, "  Nothing: this packet carries full numbers by design.")
    if report.facts.let_through:
        places = [
            f"let through on packet page {line.page}, as engagement.toml asks: {line.why}"
            for line in report.facts.let_through
        ]
        points(console, places)


def _show_signatures(console: Console, report: BuildReport) -> None:
    counted = [lines_in_words(line) for line in report.signature_lines]
    placed = [
        f"placed: {line.role} on packet page {line.page}, by grant {line.grant}"
        for line in sorted(report.facts.signatures, key=lambda line: line.page)
    ]
    missing = [
        f"left open: {line.role} on {report.inventory.documents[line.document].file} "
        f"page {line.page}: {line.why}"
        for line in report.missing
    ]
    if counted or placed or missing:
        heading(console, "Signatures")
        points(console, [*counted, *placed, *missing])


def lines_in_words(line: RoleLines) -> str:
    """How many lines ask for a role, and how many are signed."""
    asked = f"{count_of(line.asked, 'line')} {'asks' if line.asked == 1 else 'ask'}"
    role = {"ero": "ERO", "preparer": "paid preparer"}.get(line.role, line.role)
    words = f"{asked} for the {role}, {line.signed} signed"
    return f"{words}; engagement.toml names nobody in this role" if line.nobody else words


def _show_check(console: Console, report: BuildReport) -> None:
    heading(console, "Check from outside")
    if report.verdict is not None:
        show_verdict(console, report.verdict)
        if report.proof is not None:
            say(console, f"  Proof of the check: {proof_line(report.proof)}")
    elif report.released is None:
        say(console, "  Not reached: the packet was held before.")
    else:
        say(console, "  Not asked: office and agency packets carry full numbers by design.")


def _show_files(console: Console, report: BuildReport) -> None:
    released = report.released
    if released is None:
        return
    if report.facts.retention:
        heading(console, "Keep until")
        columns(
            console,
            [(str(line.keep_until), line.rule, line.source) for line in report.facts.retention],
            narrow=(0,),
        )
    heading(console, "Files")
    if report.fitted:
        points(console, report.fitted)
    for one in report.packets or (released,):
        rows = [("packet", Verbatim(one.packet)), ("manifest", Verbatim(one.manifest))]
        if one.signature:
            rows.append(("signature", Verbatim(one.signature)))
        if one.key_file:
            rows.append(("passphrase", Verbatim(one.key_file)))
        lines(console, [*rows, ("SHA-256", Verbatim(one.sha256))])


def _show_passphrase(console: Console, report: BuildReport, *, may_show: bool) -> None:
    if report.passphrase is None or report.released is None or not may_show:
        return
    heading(console, "Passphrase, shown this once")
    # Not through `say`: a passphrase may look like a number and must not be cut.
    console.print(f"  {report.passphrase.reveal()}", soft_wrap=True)

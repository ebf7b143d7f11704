"""The summary after a build, in plain words."""

from rich.console import Console

from packets.cli.build_next import next_steps
from packets.cli.kind_words import kinds_in_words
from packets.cli.plain_text import count_of, page_ranges, pages_in_words
from packets.cli.sheet import BAD, GOOD, Verbatim, columns, heading, lines, points, say
from packets.cli.verdict_sheet import show_verdict
from packets.pipeline_records import BuildReport


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
    if report.released:
        say(console, ("Released", GOOD), f": {facts.title}")
    else:
        say(console, ("Held", BAD), f": {facts.title}. Nothing was released.")
    pages = count_of(facts.pages, "page")
    say(
        console,
        f"Recipe {facts.recipe_name}, engagement {facts.engagement_id}, tax year {facts.tax_year}, "
        f"{pages}, {report.seconds:.1f} s",
    )
    if report.released is None:
        heading(console, "Why it was held")
        points(console, report.held)


def _show_contents(console: Console, report: BuildReport) -> None:
    heading(console, "What went in" if report.released else "What would have gone in")
    documents = {
        part.heading: ", ".join(dict.fromkeys(document.title for document in part.documents))
        for part in report.plan.parts
    }
    columns(
        console,
        [
            (title, _span(first, pages), documents.get(title, ""))
            for title, first, pages in report.facts.parts
        ]
        or [("no part has a page", "", "")],
        narrow=(1,),
    )


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
    if report.left_behind:
        heading(console, "What the rebuild did not take along")
        points(console, report.left_behind)


def _show_masks(console: Console, report: BuildReport) -> None:
    heading(console, "Masked")
    if report.verdict is None:
        say(console, "  Nothing: this packet carries full numbers by design.")
    elif report.facts.masks:
        points(console, kinds_in_words(mask.kind for mask in report.facts.masks))
    else:
        say(console, "  Nothing: no number was found.")


def _show_signatures(console: Console, report: BuildReport) -> None:
    placed = [
        ("placed", line.role, f"packet page {line.page}", f"grant {line.grant}")
        for line in report.facts.signatures
    ]
    missing = [
        (("missing", BAD), line.role, _source_place(report, line.document, line.page), line.why)
        for line in report.missing
    ]
    if placed or missing:
        heading(console, "Signatures")
        columns(console, [*placed, *missing], narrow=(0, 1))


def _source_place(report: BuildReport, document: int, page: int) -> str:
    return f"{report.inventory.documents[document].file} page {page}"


def _show_check(console: Console, report: BuildReport) -> None:
    heading(console, "Check from outside")
    if report.verdict is None:
        say(console, "  Not asked: office and agency packets carry full numbers by design.")
    else:
        show_verdict(console, report.verdict)


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
    rows = [
        ("packet", Verbatim(released.packet)),
        ("manifest", Verbatim(released.manifest)),
    ]
    if released.key_file:
        rows.append(("passphrase", Verbatim(released.key_file)))
    lines(console, [*rows, ("SHA-256", Verbatim(released.sha256))])


def _show_passphrase(console: Console, report: BuildReport, *, may_show: bool) -> None:
    if report.passphrase is None or report.released is None or not may_show:
        return
    heading(console, "Passphrase, shown this once")
    # Not through `say`: a passphrase may look like a number and must not be cut.
    console.print(f"  {report.passphrase.reveal()}", soft_wrap=True)

"""The summary after `packets mask`."""

from rich.console import Console

from packets.cli.kind_words import kinds_in_words
from packets.cli.plain_text import count_of
from packets.cli.sheet import BAD, GOOD, Verbatim, heading, points, say
from packets.cli.verdict_sheet import show_verdict
from packets.pipeline_records import MaskReport


def show_mask(console: Console, report: MaskReport) -> None:
    """Print what was masked, what the check said, and where the copy is, if it was written."""
    pages = count_of(report.pages, "page")
    if report.target:
        say(console, ("Written", GOOD), ": ", Verbatim(report.target), f", {pages}")
    else:
        say(console, ("Held", BAD), f": no copy of {report.source} was written.")
        heading(console, "Why it was held")
        points(console, report.held)
    heading(console, "Masked")
    if report.masks:
        points(console, kinds_in_words(mask.kind for mask in report.masks))
    else:
        say(console, "  Nothing: no number was found.")
    if report.left_behind:
        heading(console, "What the rebuild did not take along")
        points(console, report.left_behind)
    heading(console, "Check from outside")
    show_verdict(console, report.verdict)
    heading(console, "Next")
    points(console, [_next(report)])


def _next(report: MaskReport) -> str:
    if report.target is None:
        return (
            "Put right what is named above: give the number with --identifiers, or scan again "
            "what could not be read."
        )
    return "The copy is not encrypted. Look through it before it goes anywhere."

"""`packets sign preview`: each signing place as a picture, before anything is built."""

from pathlib import Path

import click
from rich.console import Console

from packets.base.canonical import Json
from packets.base.errors import ExitStatus
from packets.cli.build_summary import lines_in_words
from packets.cli.options import client_argument, json_option, office_option, recipe_option
from packets.cli.outcome import Outcome
from packets.cli.plain_text import count_of, plain
from packets.cli.sheet import Verbatim, heading, lines, points, say
from packets.cli.surroundings import Surroundings
from packets.handover.preview_records import PreviewReport, PreviewRequest


@click.command("preview", short_help="Draw each signing place, before anything is built.")
@client_argument
@recipe_option
@click.option(
    "--out",
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder for the pictures instead of CLIENT/previews.",
)
@office_option
@json_option
@click.pass_obj
def preview(
    surroundings: Surroundings, client: Path, recipe: str, out: Path | None, office: Path | None
) -> Outcome:
    """Write a picture of each place that would be signed in the folder CLIENT; build nothing.

    Numbers around a place are masked. The pictures show a client's data all the
    same: only you may read them. Exit status 1 means that a place could not be shown.
    """
    request = PreviewRequest(client, recipe, out, office)
    report = surroundings.previewing()(request, surroundings.progress)
    places = count_of(len(report.unshown), "reason")
    return Outcome(
        status=ExitStatus.HELD if report.unshown else ExitStatus.CLEAN,
        document=lambda: preview_form(report),
        show=lambda console: _show(console, report),
        note=f"Held: some places are not shown; {places} above." if report.unshown else "",
    )


def _show(console: Console, report: PreviewReport) -> None:
    say(console, f"{count_of(len(report.pictures), 'picture')} of signing places")
    lines(console, [("folder", Verbatim(report.folder))])
    if report.pictures:
        points(
            console,
            [
                f"{entry.path.name}: {entry.role} on {entry.file} page {entry.page}, "
                f"by grant {entry.grant}"
                for entry in report.pictures
            ],
        )
    heading(console, "Signatures")
    points(
        console,
        [
            *map(lines_in_words, report.lines),
            *(f"left open: {words}" for words in report.open_lines),
        ]
        or ["No line asks for one."],
    )
    if report.unshown:
        heading(console, "Not shown, because a number might be seen")
        points(console, list(report.unshown))
    heading(console, "Next")
    points(
        console,
        [
            "Look at each picture: on the line, by the right person, not over print.",
            "They show this client's data and only you may read them; remove them afterwards.",
        ],
    )


def preview_form(report: PreviewReport) -> dict[str, Json]:
    """The pictures and the lines, member by member."""
    return {
        "folder": plain(str(report.folder)),
        "pictures": [
            {
                "picture": plain(str(entry.path)),
                "file": plain(entry.file),
                "page": entry.page,
                "role": entry.role,
                "grant": plain(entry.grant),
            }
            for entry in report.pictures
        ],
        "signature_lines": [
            {
                "role": line.role,
                "asked": line.asked,
                "signed": line.signed,
                "nobody": line.nobody,
            }
            for line in report.lines
        ],
        "open": [plain(words) for words in report.open_lines],
        "unshown": [plain(words) for words in report.unshown],
    }

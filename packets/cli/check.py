"""`packets check`: look for full numbers in files that are to leave."""

from pathlib import Path

import click

from packets.cli.check_reports import written_reports
from packets.cli.check_sheet import check_outcome
from packets.cli.check_watch import watched
from packets.cli.options import identifiers_option, json_option, password_file_option
from packets.cli.outcome import Outcome
from packets.cli.proof_sheet import proof_outcome
from packets.cli.surroundings import Surroundings
from packets.handover.check_request import CheckRequest
from packets.sealing.passphrase import from_file

NEW_FILE = click.Path(dir_okay=False, path_type=Path)


@click.command("check", short_help="Look for full numbers in files that are to leave.")
@click.argument(
    "paths",
    metavar="PATH...",
    nargs=-1,
    required=True,
    type=click.Path(exists=True, path_type=Path),
)
@identifiers_option
@password_file_option
@click.option(
    "--thorough", is_flag=True, help="Read every page as pixels too, even where it has text."
)
@click.option("--afresh", is_flag=True, help="Read files again that have not changed since.")
@click.option("--junit", type=NEW_FILE, help="Write a JUnit report (XML) to this file as well.")
@click.option("--sarif", type=NEW_FILE, help="Write a SARIF 2.1.0 report to this file as well.")
@click.option(
    "--certificate", type=NEW_FILE, help="Write a one-page certificate (PDF) to this file as well."
)
@click.option(
    "--watch",
    is_flag=True,
    help="Keep watching one folder, and move what is not clean into held/ beside it.",
)
@click.option(
    "--prove",
    is_flag=True,
    help="Prove the check: plant numbers in copies of each PDF and see whether it finds them.",
)
@json_option
@click.pass_obj
def command(
    surroundings: Surroundings,
    paths: tuple[Path, ...],
    identifiers: Path | None,
    password_file: Path | None,
    thorough: bool,
    afresh: bool,
    junit: Path | None,
    sarif: Path | None,
    certificate: Path | None,
    watch: bool,
    prove: bool,
) -> Outcome:
    """Look for full taxpayer, account and card numbers in each PATH, with independent readers.

    Takes any file or folder, made by this program or not: PDFs, mail, archives, office
    files, pictures and texts, with what lies inside them. A locked PDF is opened
    with --password-file. Exit status 1 means that a number was seen, or that
    something could not be read: what cannot be read is not clean.

    A file that has not changed since it was last judged, by the same rules and for the same
    numbers, is not read again.

    With --watch, Ctrl-C ends the watch; exit status 1 then means that something was held.

    With --prove, numbers that nobody has are planted in copies of each PDF, in memory,
    one copy for each hiding place, and each copy is checked; that takes as long as some
    260 checks. Then exit status 1 also means that a planted number was not found.
    """
    reports = (junit, sarif, certificate)
    if (prove or watch) and (any(reports) or (prove and watch)):
        raise click.UsageError("--prove and --watch stand alone")
    password = from_file(password_file) if password_file else None
    if prove:
        proofs = surroundings.pipeline().prove(
            paths, identifiers, password, thorough, surroundings.progress
        )
        return proof_outcome(proofs)
    request = CheckRequest(paths, identifiers, password, thorough, remember=not afresh)
    if watch:
        return watched(surroundings, request)
    report = surroundings.checking().check(request, surroundings.progress)
    written = written_reports(surroundings, request, report, *reports)
    return check_outcome(report, written)

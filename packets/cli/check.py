"""`packets check`: look for full numbers in files that are to leave."""

from pathlib import Path

import click
from rich.console import Console

from packets.base.errors import ExitStatus
from packets.cli.options import identifiers_option, json_option, password_file_option
from packets.cli.outcome import Outcome
from packets.cli.plain_text import count_of
from packets.cli.proof_sheet import proof_outcome
from packets.cli.sheet import heading, points
from packets.cli.surroundings import Surroundings
from packets.cli.verdict_form import verdict_form
from packets.cli.verdict_sheet import show_verdict
from packets.outbound.records import Judgement, Verdict
from packets.sealing.passphrase import from_file


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
    prove: bool,
) -> Outcome:
    """Look for full taxpayer, account and card numbers in each PATH, with independent readers.

    Takes any file or folder, made by this program or not. A locked PDF is opened
    with --password-file. Exit status 1 means that a number was seen, or that
    something could not be read: what cannot be read is not clean.

    With --prove, numbers that nobody has are planted in copies of each PDF, in memory,
    one copy for each hiding place, and each copy is checked; that takes as long as some
    260 checks. Then exit status 1 also means that a planted number was not found.
    """
    password = from_file(password_file) if password_file else None
    if prove:
        proofs = surroundings.pipeline().prove(
            paths, identifiers, password, thorough, surroundings.progress
        )
        return proof_outcome(proofs)
    verdicts = surroundings.pipeline().check(
        paths, identifiers, password, thorough, surroundings.progress
    )
    held = [verdict for verdict in verdicts if verdict.judgement is not Judgement.CLEAN]
    # No verdict at all is not a clean one.
    status = ExitStatus.HELD if held or not verdicts else ExitStatus.CLEAN
    return Outcome(
        status=status,
        document=lambda: {"verdicts": [verdict_form(verdict) for verdict in verdicts]},
        show=lambda console: _show(console, verdicts),
        note=f"Held: {len(held)} of {count_of(len(verdicts), 'file')}." if status else "",
    )


def _show(console: Console, verdicts: tuple[Verdict, ...]) -> None:
    for verdict in verdicts:
        heading(console, verdict.file)
        show_verdict(console, verdict)
    heading(console, "Next")
    if not verdicts:
        points(console, ["There was no file to check: name a file or a folder that holds one."])
    elif all(verdict.judgement is Judgement.CLEAN for verdict in verdicts):
        points(console, ["Nothing was seen. A clean check is evidence, not a guarantee."])
    else:
        points(
            console,
            [
                "Do not send the files that are held. Mask them with `packets mask`, then "
                "check again."
            ],
        )

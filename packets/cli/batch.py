"""`packets batch`: one packet for every client folder under a root."""

from functools import partial
from pathlib import Path

import click

from packets.base.errors import UsageError
from packets.batch.records import BatchOrder, BatchReport, Ending
from packets.batch.workforce import hire_cluster, hire_processes
from packets.cli.batch_csv import write_csv
from packets.cli.batch_sheet import batch_form, show_batch
from packets.cli.options import (
    EXISTING_FOLDER,
    json_option,
    key_password_file_option,
    office_option,
    recipe_option,
)
from packets.cli.outcome import Outcome
from packets.cli.plain_text import count_of
from packets.cli.surroundings import Surroundings


@click.command("batch", short_help="Build for every client folder under a root.")
@click.argument("root", type=EXISTING_FOLDER)
@recipe_option
@click.option(
    "--jobs",
    type=click.IntRange(1, 512),
    help="Processes that build side by side; one for each processor unless given.",
)
@click.option(
    "--cluster",
    metavar="ADDRESS",
    help="Build on the workers of a Dask cluster instead, such as tcp://host:8786.",
)
@click.option(
    "--time-limit",
    type=click.FloatRange(min=0.01),
    default=30.0,
    show_default=True,
    metavar="MINUTES",
    help="A client that takes longer is ended and counts as failed.",
)
@click.option(
    "--csv",
    "csv_file",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write one line for each client into this file as well.",
)
@click.option("--afresh", is_flag=True, help="Build also what has not changed.")
@click.option(
    "--keep-masked/--no-keep-masked",
    default=True,
    show_default=True,
    help="Keep masked sources, encrypted, in each client folder for the next recipe.",
)
@key_password_file_option
@office_option
@json_option
@click.pass_obj
def command(
    surroundings: Surroundings,
    root: Path,
    recipe: str,
    jobs: int | None,
    cluster: str | None,
    time_limit: float,
    csv_file: Path | None,
    afresh: bool,
    keep_masked: bool,
    key_password_file: Path | None,
    office: Path | None,
) -> Outcome:
    """Build one packet for every client folder under ROOT that has changed.

    Each client ends as done, held, refused, failed or unchanged, and none stops
    another. Stopped at any moment, the same command goes on where it was: nothing
    is built twice. The exit status is the worst of all clients. Passphrases are made
    up or the clients' standing ones; they lie in keys/ and are never shown here.
    """
    if jobs is not None and cluster is not None:
        raise UsageError("--jobs and --cluster exclude each other", where="packets batch")
    order = BatchOrder(
        root=root,
        recipe=recipe,
        office=office,
        key_password_file=key_password_file,
        afresh=afresh,
        keep_masked=keep_masked,
    )
    seconds = time_limit * 60
    hire = (
        partial(hire_cluster, cluster, seconds)
        if cluster
        else partial(hire_processes, jobs, seconds)
    )
    report = surroundings.batching()(order, hire, surroundings.progress)
    if csv_file is not None:
        write_csv(csv_file, report)
    return Outcome(
        status=report.status,
        document=lambda: batch_form(report),
        show=lambda console: show_batch(console, report),
        note=_note(report),
    )


def _note(report: BatchReport) -> str:
    short = [
        f"{report.count(ending)} {ending.value}"
        for ending in (Ending.FAILED, Ending.REFUSED, Ending.HELD)
        if report.count(ending)
    ]
    of = count_of(len(report.outcomes), "client")
    return f"{', '.join(short)} of {of}; the reasons are in the summary." if short else ""

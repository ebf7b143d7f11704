"""The outcome of a batch as a table for other programs (RFC 4180)."""

import csv
import io
from pathlib import Path

from packets.base.files import write_durably
from packets.batch.records import BatchReport
from packets.cli.batch_sheet import in_one_line, name_of
from packets.cli.outcome import OUTCOME_WORDS
from packets.cli.plain_text import plain
from packets.sealing.storage_faults import storage_errors_of

COLUMNS = (
    "client",
    "ended",
    "outcome",
    "exit_status",
    "packets",
    "sha256",
    "pages",
    "seconds",
    "why",
)
_FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""A spreadsheet takes a cell that begins so for a formula."""


def write_csv(path: Path, report: BatchReport) -> None:
    """Write the table durably (0600), over a file that is there."""
    target = io.StringIO(newline="")
    writer = csv.writer(target)
    writer.writerow(COLUMNS)
    for one in report.outcomes:
        writer.writerow(
            (
                _cell(name_of(report, one.client)),
                one.ending.value,
                OUTCOME_WORDS[one.status],
                int(one.status),
                _cell("; ".join(made.path for made in one.packets)),
                "; ".join(made.sha256 for made in one.packets),
                one.pages,
                round(one.seconds, 3),
                _cell(in_one_line(one.why)),
            )
        )
    with storage_errors_of(path.parent):
        write_durably(path, target.getvalue().encode("utf-8", "backslashreplace"))


def _cell(text: str) -> str:
    shown = plain(text)
    return f"'{shown}" if shown.startswith(_FORMULA) else shown

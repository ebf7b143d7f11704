"""The check of a finished packet, beside PDFium's text of the same pages."""

import sys
from collections.abc import Iterator
from pathlib import Path

from figures import Figure
from hundred_pages import PACKETS, Cost, cost_of
from length_rate import FLOOR_SCRIPT, fastest
from long_return import write_client_folder


def check_figures(folder: Path, pages: int, rounds: int) -> Iterator[Figure]:
    """One packet of so many pages, checked afresh each time."""
    source = write_client_folder(folder / "checked", pages)
    client = source.parents[1]
    cost_of([PACKETS, "build", client, "--recipe", "client-copy"])
    (packet,) = client.glob("outbound/*.pdf")
    (word,) = client.glob("keys/*.pdf.txt")
    ours: list[Cost] = []
    floor: list[Cost] = []
    for _ in range(rounds):
        ours.append(cost_of([PACKETS, "check", packet, "--password-file", word, "--afresh"]))
        floor.append(cost_of([sys.executable, FLOOR_SCRIPT, source, folder / "floor.pdf"]))
    yield Figure("check", pages, "pages", "packets check", *fastest(ours))
    yield Figure("check", pages, "pages", "floor", *fastest(floor))

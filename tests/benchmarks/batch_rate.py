"""A season of mixed clients by one and two workers, beside the plain script over all its PDFs."""

import shutil
import sys
from collections.abc import Iterator
from pathlib import Path

from figures import Figure
from hundred_pages import PACKETS, PLAIN_SCRIPT, Cost, cost_of
from length_rate import fastest
from long_return import NUMBER, write_client_folder
from office_folders import sample_copy, small_client

TEXT_PAGES = 60


def season_figures(folder: Path, count: int, rounds: int) -> Iterator[Figure]:
    """`count` seasons of five clients: scans and signatures, short and long returns, letters."""
    template = folder / "season"
    for number in range(count):
        sample_copy("joint-return", template / f"joint-{number}")
        sample_copy("single-filer", template / f"single-{number}")
        write_client_folder(template / f"long-{number}", TEXT_PAGES)
        small_client(template / f"small-{number}")
        small_client(template / f"other-{number}")
    clients = 5 * count
    costs: dict[str, list[Cost]] = {"packets batch, 2 workers": [], "packets batch, 1 worker": []}
    plain: list[Cost] = []
    for number in range(rounds):
        for who, jobs in zip(costs, ("2", "1"), strict=True):
            root = Path(shutil.copytree(template, folder / f"run-{number}-{jobs}"))
            costs[who].append(
                cost_of([PACKETS, "batch", root, "--recipe", "client-copy", "--jobs", jobs])
            )
        plain.append(_plain(template, folder / "plain.pdf"))
    for who, seen in costs.items():
        yield Figure("season", clients, "clients", who, *fastest(seen))
    yield Figure("season", clients, "clients", "plain script", *fastest(plain))


def _plain(template: Path, target: Path) -> Cost:
    """The plain script over every PDF of the season, one after the other."""
    costs = [
        cost_of([sys.executable, PLAIN_SCRIPT, source, target, NUMBER])
        for source in sorted(template.glob("*/documents/**/*.pdf"))
    ]
    return Cost(
        sum(cost.seconds for cost in costs),
        sum(cost.busy for cost in costs),
        max(cost.megabytes for cost in costs),
    )

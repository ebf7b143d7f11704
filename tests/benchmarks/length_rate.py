"""A text return with a number on each page: our whole build, the plain script, the floor."""

import shutil
import sys
from collections.abc import Iterator
from pathlib import Path

from figures import Figure
from hundred_pages import PACKETS, PLAIN_SCRIPT, Cost, cost_of
from long_return import NUMBER, write_client_folder

FLOOR_SCRIPT = Path(__file__).with_name("floor_script.py")


def length_figures(folder: Path, lengths: tuple[int, ...], rounds: int) -> Iterator[Figure]:
    """Every length, turn about, each in a new process; long ones once."""
    for pages in lengths:
        source = write_client_folder(folder / f"template-{pages}", pages)
        costs: dict[str, list[Cost]] = {"packets build": [], "plain script": [], "floor": []}
        for number in range(rounds if pages <= 300 else 1):
            client = Path(shutil.copytree(source.parents[1], folder / f"client-{pages}-{number}"))
            target = folder / "target.pdf"
            plain = [sys.executable, PLAIN_SCRIPT, source, target, NUMBER]
            costs["plain script"].append(cost_of(plain))
            costs["floor"].append(cost_of([sys.executable, FLOOR_SCRIPT, source, target]))
            costs["packets build"].append(
                cost_of([PACKETS, "build", client, "--recipe", "client-copy"])
            )
        for who, seen in costs.items():
            yield Figure("text return", pages, "pages", who, *fastest(seen))


def fastest(costs: list[Cost]) -> tuple[float, float, float]:
    """Seconds and processor seconds of the fastest, and the most memory of any."""
    return (
        min(cost.seconds for cost in costs),
        min(cost.busy for cost in costs),
        max(cost.megabytes for cost in costs),
    )

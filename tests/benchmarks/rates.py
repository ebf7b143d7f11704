"""Every rate in one run and one table, each beside its baseline.

    python tests/benchmarks/rates.py [--whole] [--rounds N] [--only WORD] [--plots FOLDER]

Text returns of growing length (pages a second, peak memory) beside the plain PyMuPDF
script and the floor of PDFium text and a qpdf rewrite; scans beside plain tesserocr;
a season of mixed clients by one and two workers beside the plain script; the check
beside the floor. Quick unless --whole, which goes up to 5,000 pages. `busy` is
processor time: what is left of a figure when others use the machine as well.
"""

import argparse
import os
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

os.environ.setdefault("OMP_THREAD_LIMIT", "1")
sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parents[1] / "scans"))

from batch_rate import season_figures
from check_rate import check_figures
from figures import Figure, table
from length_rate import length_figures

SUBJECTS = ("text", "scans", "season", "check")


@dataclass(frozen=True)
class Sizes:
    """How much is measured."""

    lengths: tuple[int, ...]
    """Pages of text returns."""
    season: int
    """Clients of each sort."""
    checked: int
    """Pages of the packet that is checked."""


QUICK = Sizes((10, 100, 500), 2, 100)
WHOLE = Sizes((10, 30, 100, 300, 1000, 2000, 5000), 4, 1000)


def figures(folder: Path, sizes: Sizes, *, rounds: int, only: str = "") -> Iterator[Figure]:
    """All measurements, one after the other: nothing of ours disturbs anything of ours."""
    if only in ("", "text"):
        yield from length_figures(folder, sizes.lengths, rounds)
    if only in ("", "season"):
        yield from season_figures(folder, sizes.season, rounds)
    if only in ("", "check"):
        yield from check_figures(folder, sizes.checked, rounds)
    if only in ("", "scans"):
        # Not before: Linux counts the size of this process towards the peak of what it starts.
        from scan_rate import scan_figures

        yield from scan_figures(rounds)


def main() -> None:
    """Measure, print, draw."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--whole", action="store_true", help="up to 5,000 pages")
    options.add_argument("--rounds", type=int, default=2)
    options.add_argument("--only", choices=SUBJECTS, default="")
    options.add_argument("--plots", type=Path, help="folder for the same figures as PNG")
    wanted = options.parse_args()
    load = os.getloadavg()[0]
    with tempfile.TemporaryDirectory() as folder:
        made = list(
            figures(
                Path(folder),
                WHOLE if wanted.whole else QUICK,
                rounds=wanted.rounds,
                only=wanted.only,
            )
        )
    sys.stdout.write(f"{table(made)}\nload of the machine: {load:.1f} before, ")
    sys.stdout.write(f"{os.getloadavg()[0]:.1f} after, {os.cpu_count()} processors\n")
    if wanted.plots:
        from plots import write_plots

        for path in write_plots(wanted.plots, made):
            sys.stdout.write(f"{path}\n")


if __name__ == "__main__":
    main()

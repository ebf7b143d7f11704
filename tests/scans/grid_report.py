"""What becomes of the numbers on scans: the whole grid, in tables.

    python tests/scans/grid_report.py [--sample] [--out FILE]

A scan goes out masked, or is held; a number that goes out unmasked is missed.
"Held" counts all held scans, "of these masked" those on which every number had
been painted over before another doubt held the page. Each scan is tried
without known numbers and with them.
"""

import argparse
import sys
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from scan_faults import Scan
from scan_grid import grid, whole_grid
from scan_papers import Paper
from scan_trial import Trial, Verdict, trial


@dataclass(frozen=True)
class Tried:
    """One scan and what became of it."""

    paper: Paper
    scan: Scan
    known: bool
    trial: Trial

    @property
    def outcome(self) -> str:
        """`missed`, `masked`, or held with or without all numbers painted over."""
        if Verdict.MISSED in self.trial.verdicts:
            return "missed"
        if not self.trial.held:
            return "masked"
        done = all(verdict is Verdict.MASKED for verdict in self.trial.verdicts)
        return "held, masked" if done else "held"


def tried(scans: Sequence[tuple[Paper, Scan]]) -> Iterator[Tried]:
    """Every scan, tried both ways."""
    for paper, scan in scans:
        for known in (False, True):
            yield Tried(paper, scan, known, trial(paper, scan, known=known))


_BY: dict[str, Callable[[Tried], str]] = {
    "numbers": lambda it: "known" if it.known else "not known",
    "paper": lambda it: it.paper.name,
    "flaw": lambda it: str(it.scan.flaw),
    "resolution": lambda it: f"{it.scan.dpi} dpi",
    "skew": lambda it: f"{abs(it.scan.skew):g} degrees",
    "stored as": lambda it: "1 bit" if it.scan.bits == 1 else f"JPEG {it.scan.quality}",
}


def told(results: Sequence[Tried]) -> str:
    """Tables for a person: one per thing that differs, then the whole, then each miss."""
    lines = []
    for title, key in (*_BY.items(), ("all", lambda _: "all scans")):
        lines.append(f"{title:<22}{'tries':>6}{'masked':>8}{'':>6}{'held':>6}{'':>6}"
                     f"{'of these masked':>17}{'missed':>8}")  # fmt: skip
        groups: dict[str, Counter[str]] = {}
        for it in results:
            groups.setdefault(key(it), Counter())[it.outcome] += 1
        lines.extend(_row(name, counts) for name, counts in groups.items())
        lines.append("")
    misses = [it for it in results if it.outcome == "missed"]
    lines.extend(f"missed: {it.paper.name} {it.scan} known={it.known}" for it in misses)
    return "\n".join(lines).rstrip()


def _row(name: str, counts: Counter[str]) -> str:
    total = counts.total()
    held = counts["held"] + counts["held, masked"]
    return (
        f"  {name:<20}{total:>6}{counts['masked']:>8}{counts['masked'] / total:>6.0%}"
        f"{held:>6}{held / total:>6.0%}{counts['held, masked']:>17}{counts['missed']:>8}"
    )


def main() -> None:
    """Try the grid and print."""
    options = argparse.ArgumentParser(description=__doc__.split("\n", maxsplit=1)[0])
    options.add_argument("--sample", action="store_true", help="what the tests take")
    options.add_argument("--out", type=Path, help="write the tables to a file as well")
    wanted = options.parse_args()
    results = list(tried(grid() if wanted.sample else list(whole_grid())))
    text = told(results)
    if wanted.out:
        wanted.out.write_text(f"{text}\n")
    sys.stdout.write(f"{text}\n")
    if any(it.outcome == "missed" for it in results):
        raise SystemExit(1)


if __name__ == "__main__":
    main()

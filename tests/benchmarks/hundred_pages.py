"""The whole way of a long return beside a plain script, alternating in one run.

    python tests/benchmarks/hundred_pages.py [--pages 100] [--rounds 3]

Prints for each round the seconds and the peak memory of both, and at the end the
ratio of the fastest rounds. `packets build` does all of: inventory, plan, masking,
rebuild, cover and stamps, AES-256, the outbound check with four readers, release
and ledger. The plain script looks for one spelling of one number and saves.
"""

import argparse
import os
import shutil
import sys
import sysconfig
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from long_return import NUMBER, write_client_folder

PACKETS = Path(sysconfig.get_path("scripts")) / "packets"
PLAIN_SCRIPT = Path(__file__).with_name("plain_script.py")
RATIO_WANTED = 1.5
MEGABYTES_WANTED = 400.0


@dataclass(frozen=True)
class Cost:
    """What one process took."""

    seconds: float
    busy: float
    """Seconds of processor time, which other work on the machine disturbs less."""
    megabytes: float
    """Largest resident set."""


@dataclass(frozen=True)
class Comparison:
    """All rounds of both, in order."""

    plain: tuple[Cost, ...]
    build: tuple[Cost, ...]

    @property
    def ratio(self) -> float:
        """Fastest build by fastest plain run: what is left when nothing else disturbs."""
        return min(c.seconds for c in self.build) / min(c.seconds for c in self.plain)

    @property
    def busy_ratio(self) -> float:
        """The same by processor time."""
        return min(c.busy for c in self.build) / min(c.busy for c in self.plain)

    @property
    def megabytes(self) -> float:
        """The most that any build held."""
        return max(c.megabytes for c in self.build)


def compare(folder: Path, pages: int, rounds: int) -> Comparison:
    """Run both `rounds` times, turn about, in new processes."""
    source = write_client_folder(folder / "template", pages)
    plain, build = [], []
    for number in range(rounds):
        client = folder / f"client-{number}"
        shutil.copytree(folder / "template", client)
        target = folder / f"plain-{number}.pdf"
        plain.append(cost_of([sys.executable, PLAIN_SCRIPT, source, target, NUMBER]))
        build.append(cost_of([PACKETS, "build", client, "--recipe", "client-copy"]))
        if not target.exists() or not list(client.glob("outbound/*.pdf")):
            raise RuntimeError("one of the two made nothing")
    return Comparison(tuple(plain), tuple(build))


def cost_of(command: Sequence[str | Path]) -> Cost:
    """Run a command to its end; seconds by the clock and its own peak memory."""
    started = time.perf_counter()
    words = [str(word) for word in command]
    silent = os.open(os.devnull, os.O_WRONLY)
    try:
        actions = [(os.POSIX_SPAWN_DUP2, silent, 1)]
        process = os.posix_spawn(words[0], words, _as_installed(), file_actions=actions)
        _, status, usage = os.wait4(process, 0)
    finally:
        os.close(silent)
    seconds = time.perf_counter() - started
    if os.waitstatus_to_exitcode(status) != 0:
        raise RuntimeError(f"exit status {os.waitstatus_to_exitcode(status)}")
    kilobytes = usage.ru_maxrss / (1024 if sys.platform == "darwin" else 1)
    return Cost(seconds, usage.ru_utime + usage.ru_stime, kilobytes / 1024)


def _as_installed() -> dict[str, str]:
    """The surroundings, with modules kept as bytecode: pip keeps it for whoever installs."""
    return {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}


def told(comparison: Comparison) -> str:
    """The figures as lines for a person."""
    lines = [f"{'round':>5}   {'plain script':<32}packets build"]
    pairs = zip(comparison.plain, comparison.build, strict=True)
    for number, (plain, build) in enumerate(pairs, start=1):
        lines.append(f"{number:>5}   {_figures(plain):<32}{_figures(build)}")
    lines.append(
        f"ratio {comparison.ratio:.1f} by the clock, {comparison.busy_ratio:.1f} by processor time "
        f"(wanted: {RATIO_WANTED:.1f} at most)"
    )
    lines.append(f"peak  {comparison.megabytes:.0f} MB (wanted: {MEGABYTES_WANTED:.0f} at most)")
    return "\n".join(lines)


def _figures(cost: Cost) -> str:
    return f"{cost.seconds:6.2f} s {cost.busy:6.2f} s busy {cost.megabytes:4.0f} MB"


def main() -> None:
    """Make the folder, compare, print."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--pages", type=int, default=100)
    options.add_argument("--rounds", type=int, default=3)
    wanted = options.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        comparison = compare(Path(folder), wanted.pages, wanted.rounds)
    sys.stdout.write(f"{wanted.pages} pages\n{told(comparison)}\n")


if __name__ == "__main__":
    main()

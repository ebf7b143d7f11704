"""What a benchmark has measured: one figure for each thing and each who did it."""

from collections.abc import Sequence
from dataclasses import dataclass

OURS = "packets"


@dataclass(frozen=True)
class Figure:
    """One measurement, the fastest of its rounds."""

    subject: str
    """`text return`, `scans`, `season`, `check`."""
    size: int
    """Pages, papers or clients."""
    unit: str
    """What `size` counts: `pages`, `scans`, `clients`."""
    who: str
    """`packets …`, or the baseline's name."""
    seconds: float
    busy: float
    """Seconds of processor time, which other work on the machine disturbs less."""
    megabytes: float | None = None
    """Largest resident set of any of its processes."""

    @property
    def rate(self) -> float:
        """Units a second."""
        return self.size / self.seconds


def table(figures: Sequence[Figure]) -> str:
    """All of it, each baseline behind what it is beside, with the ratio of ours to it."""
    lines = [
        f"{'what':<14}{'size':>7}  {'who':<26}{'s':>9}{'busy s':>9}{'a second':>10}"
        f"{'a minute':>10}{'MB':>7}  ours by it: clock, busy"
    ]
    for subject, size in dict.fromkeys((one.subject, one.size) for one in figures):
        group = [one for one in figures if (one.subject, one.size) == (subject, size)]
        ours = next((one for one in group if one.who.startswith(OURS)), None)
        lines.extend(_line(one, ours) for one in group)
    return "\n".join(lines)


def _line(one: Figure, ours: Figure | None) -> str:
    memory = f"{one.megabytes:7.0f}" if one.megabytes is not None else f"{'':7}"
    ratio = ""
    if ours is not None and one is not ours:
        ratio = f"  {ours.seconds / one.seconds:.2f}, {ours.busy / one.busy:.2f}"
    return (
        f"{one.subject:<14}{one.size:>7}  {one.who:<26}{one.seconds:9.2f}{one.busy:9.2f}"
        f"{one.rate:10.2f}{60 * one.rate:10.1f}{memory}{ratio}"
    )

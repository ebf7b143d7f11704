"""A folder of mixed files, checked twice: `python tests/benchmarks/ten_thousand_files.py 10000`.

Prints how much faster the second run is, and the peak of memory of the process and of
its copies. Every file is different, as the files of an office are.
"""

import os
import random
import resource
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "outbound"))

from outbound_carriers import docx, mail, picture, xlsx, zipped
from outbound_pages import page_pdf

from packets.handover.check_request import CheckRequest
from packets.handover.folder_checks import check
from packets.outbound.records import Judgement

KINDS: tuple[tuple[str, Callable[[str], bytes]], ...] = (
    ("pdf", page_pdf),
    ("pdf", lambda words: page_pdf(f"{words} Taxpayer XXX-XX-3457")),
    ("eml", lambda words: mail(words, ("letter.pdf", page_pdf(words)))),
    ("docx", lambda words: docx(words, " Dear client, here is your copy.")),
    (
        "xlsx",
        lambda words: xlsx(f'<c t="inlineStr"><is><t>{words}</t></is></c><c><v>61250</v></c>'),
    ),
    ("zip", lambda words: zipped({"a.txt": words, "b.csv": f"name,amount\n{words},1250.00\n"})),
    ("csv", lambda words: "".join(f"{words},{n},1250.00\n" for n in range(80)).encode()),
    ("txt", lambda words: "\n".join([words] * 60).encode()),
    ("html", lambda words: f"<html><body>{f'<p>{words}</p>' * 40}</body></html>".encode()),
    ("json", lambda words: f'{{"note": "{words}", "amount": 1250}}'.encode()),
    ("rtf", lambda words: f"{{\\rtf1\\ansi {words}\\par}}".encode()),
    ("png", lambda words: picture(words[:20])),
)
SHAPED = "666-12-3457"


@dataclass(frozen=True)
class TwoRuns:
    """What two runs over the same folder took and found."""

    files: int
    held: int
    first: float
    second: float
    megabytes: float
    megabytes_of_a_copy: float

    @property
    def ratio(self) -> float:
        """How many times faster the second run was."""
        return self.first / self.second


def write_folder(folder: Path, count: int) -> int:
    """Mixed files, one in a hundred with a number; returns how many have one."""
    folder.mkdir(parents=True)
    words = random.Random(5)  # the same folder each time
    for number in range(count):
        ending, made = KINDS[number % len(KINDS)]
        text = " ".join("".join(words.choices("abcdefghij", k=6)) for _ in range(5))
        inner = folder / f"client {number // 200}"
        inner.mkdir(exist_ok=True)
        marked = f"{SHAPED} {text}" if number % 100 == 7 else text
        (inner / f"file {number}.{ending}").write_bytes(made(marked))
    return len(range(7, count, 100))


def two_runs(folder: Path) -> TwoRuns:
    """Check a folder twice, the second time by memory."""
    seconds: list[float] = []
    for _ in range(2):
        start = time.perf_counter()
        report = check(CheckRequest((folder,)))
        seconds.append(time.perf_counter() - start)
        held = sum(each.judgement is Judgement.HELD for each in report.verdicts)
    own = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    copies = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    return TwoRuns(len(report.verdicts), held, seconds[0], seconds[1], own, copies)


def told(runs: TwoRuns) -> str:
    """The result in one line."""
    return (
        f"{runs.files} files, {runs.held} held; first run {runs.first:.1f} s, second "
        f"{runs.second:.2f} s, ratio {runs.ratio:.1f}; peak {runs.megabytes:.0f} MB here, "
        f"{runs.megabytes_of_a_copy:.0f} MB in a copy"
    )


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as scratch:
        os.environ["XDG_CACHE_HOME"] = f"{scratch}/cache"
        write_folder(Path(scratch, "outbound"), int(sys.argv[1]) if len(sys.argv) > 1 else 10_000)
        sys.stdout.write(told(two_runs(Path(scratch, "outbound"))) + "\n")

"""Client folders to run `packets` on, and the command itself in a process of its own."""

import io
import json
import os
import re
import shutil
import subprocess
import sysconfig
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from reportlab.lib.pagesizes import letter
from reportlab.pdfgen.canvas import Canvas

PACKETS = Path(sysconfig.get_path("scripts")) / "packets"
SAMPLES_ROOT = Path(__file__).resolve().parents[1] / "sample_pdfs"
SAMPLES = ("joint-return", "single-filer")
MADE_BY_RUNS = ("outbound", "office", "filing", "keys", "ledger*", ".partial-*")
SMALL_SSN = "666-12-3456"
ENGAGEMENT = """\
[engagement]
id = "2025-0201"
tax_year = 2025
household = {household}
email = "office@example.com"

[[person]]
role = "taxpayer"
name = "Ottilie Marsh"
"""


@dataclass(frozen=True)
class Run:
    """A command that has ended."""

    status: int
    out: str
    err: str

    @property
    def document(self) -> dict[str, Any]:
        """Standard output, which must be exactly one JSON document."""
        return json.loads(self.out)

    @property
    def said(self) -> str:
        """Everything that was said, on one line."""
        return " ".join((self.out + " " + self.err).split())


def run_packets(*words: object, scratch: Path | None = None, **options: Any) -> Run:
    """Run the installed command; `scratch` becomes its folder for temporary files."""
    environment = {**os.environ, **({"TMPDIR": str(scratch)} if scratch else {})}
    environment.pop("COLUMNS", None)
    done = subprocess.run(
        [str(PACKETS), *map(str, words)],
        capture_output=True,
        text=True,
        check=False,
        env=environment,
        stdin=subprocess.DEVNULL,
        **options,
    )
    return Run(done.returncode, done.stdout, done.stderr)


def build(client: Path, recipe: str = "client-copy", *more: object, **options: Any) -> Run:
    """`packets build CLIENT --recipe RECIPE --json`."""
    return run_packets("build", client, "--recipe", recipe, "--json", *more, **options)


def sample_copy(name: str, target: Path) -> Path:
    """A copy of a sample folder as an office would have it: private numbers, grants in force."""
    left = shutil.ignore_patterns(*MADE_BY_RUNS)
    shutil.copytree(SAMPLES_ROOT / name, target, ignore=left)
    (target / "identifiers.toml").chmod(0o600)
    grants = target / "signatures" / "grants.toml"
    # The samples' grants end in the year of the return; this copy must outlive it. Last
    # year's grant stays run out.
    ends = re.compile(r"(?m)^valid_until = (?!2025-).*$")
    grants.write_text(ends.sub("valid_until = 2126-12-31", grants.read_text()))
    return target


def small_client(folder: Path, household: str = '"Ottilie Marsh"') -> Path:
    """A client folder that builds in a moment: a letter and a two-page return."""
    (folder / "documents").mkdir(parents=True)
    (folder / "engagement.toml").write_text(
        ENGAGEMENT.format(household=household), encoding="utf-8"
    )
    letter_lines = ["Dear Ms Marsh,", "we enclose your return for 2025.", "Sincerely"]
    first = [
        "Form 1040   U.S. Individual Income Tax Return   2025",
        f"Ottilie Marsh   Your social security number {SMALL_SSN}",
        "1a Total amount from Form(s) W-2, box 1   41,207",
    ]
    second = ["Form 1040 (2025)   Page 2", "24 Total tax   3,418", "34 Refund   512"]
    put_pdf(folder / "documents" / "letter" / "letter.pdf", letter_lines)
    put_pdf(folder / "documents" / "form-1040" / "return.pdf", first, second)
    return folder


def put_pdf(path: Path, *pages: list[str]) -> Path:
    """Write a PDF with these lines of text on its pages."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(text_pdf(*pages))
    return path


def text_pdf(*pages: list[str]) -> bytes:
    """A PDF with these lines of text on its pages."""
    target = io.BytesIO()
    canvas = Canvas(target, pagesize=letter, invariant=True)
    for lines in pages:
        for number, line in enumerate(lines):
            canvas.drawString(72, 700 - 16 * number, line)
        canvas.showPage()
    canvas.save()
    return target.getvalue()


def left_over(folder: Path) -> list[str]:
    """Files in the making that a run left in a folder or below it."""
    return sorted(
        path.relative_to(folder).as_posix()
        for path in folder.rglob("*")
        if path.name.startswith(".partial-") or path.suffix == ".tmp"
    )

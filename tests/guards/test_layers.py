"""The order of the rooms, as .importlinter writes it down, holds."""

import configparser
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
CONTRACTS = ROOT / ".importlinter"
RUN = "import sys; from importlinter.cli import lint_imports; sys.exit(lint_imports(no_cache=True))"


def test_every_import_goes_downward_and_the_check_stays_apart():
    run = subprocess.run(
        [sys.executable, "-c", RUN], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert run.returncode == 0, run.stdout


def test_the_contracts_reach_every_room():
    written = configparser.ConfigParser()
    written.read(CONTRACTS)
    layers = written["importlinter:contract:layers"]
    named = {line.strip(" ()") for line in layers["layers"].splitlines() if line}
    rooms = {path.parent.name for path in ROOT.glob("packets/*/__init__.py")}
    assert rooms <= named
    assert layers["exhaustive"] == "True"


def test_the_check_may_know_neither_the_masking_nor_its_libraries():
    written = configparser.ConfigParser()
    written.read(CONTRACTS)
    barred = written["importlinter:contract:outbound"]["forbidden_modules"].split()
    for module in ("packets.masking", "packets.reading", "packets.assembly", "pymupdf", "fitz"):
        assert module in barred

"""Asking for help is quick: it loads no PDF library."""

import subprocess
import sys

import pytest

PDF_LIBRARIES = {"pymupdf", "fitz", "pikepdf", "pypdfium2", "reportlab", "tesserocr", "zxingcpp"}
REPORT = """
import sys
from packets.cli.entry import run
status = run(sys.argv[1:])
sys.stdout.flush()
sys.stderr.write(" ".join(sorted({name.partition(".")[0] for name in sys.modules})))
sys.exit(status)
"""


def loaded_by(*arguments):
    """Top-level modules that are loaded after `packets ARGUMENTS` ran to its end."""
    run = subprocess.run(
        [sys.executable, "-c", REPORT, *arguments], capture_output=True, text=True, check=True
    )
    return set(run.stderr.split())


@pytest.mark.parametrize("option", ["--help", "--version"])
def test_help_and_version_load_neither_pdf_libraries_nor_the_models_of_files(option):
    loaded = loaded_by(option)
    assert "click" in loaded
    assert not loaded & (
        PDF_LIBRARIES | {"PIL", "pydantic", "rich", "logging", "hashlib", "rfc8785"}
    )


@pytest.mark.parametrize(
    "command",
    ["build", "plan", "inventory", "mask", "check", "new", "verify", "retention", "ledger"],
)
def test_the_help_of_a_command_loads_no_pdf_library(command):
    assert not loaded_by(command, "--help") & PDF_LIBRARIES


def test_a_new_client_folder_is_made_without_any_pdf_library(tmp_path):
    assert not loaded_by("new", str(tmp_path / "client")) & PDF_LIBRARIES

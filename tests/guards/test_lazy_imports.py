"""Asking for help is quick: it loads no PDF library."""

import os
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


BUILD = """
import os, sys
os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})  # no copies: one process loads it all
from packets.cli.entry import run
import packets.pipeline
sys.stderr.write(" ".join(sys.modules) + "\\n")
status = run(sys.argv[1:])
sys.stdout.flush()
sys.stderr.write(" ".join(sys.modules))
sys.exit(status)
"""
SELDOM = {
    "asyncio",
    "cryptography.hazmat.primitives.serialization",  # for an office that signs
    "distributed",
    "email.headerregistry",  # for a packet that has to fit a message
    "fontTools",  # for fonts that hold a number
    "http.client",
    "jinja2",
    "keyring",
    "multiprocessing",
    "numpy.random",
    "olefile",  # for mail that office programs saved
    "packets.mailing.message",
    "packets.masking.drawn_page",  # for letters that are drawn as figures
    "packets.masking.picture_masking",
    "packets.outbound.contents",  # for a file inside the packet
    "packets.outbound.spot_reading",  # for scans
    "packets.proving.prove_files",  # for `packets check --prove`
    "packets.reading.reading_of_pictures",
    "packets.signatures.clean_image",
    "pyhanko",
    "smtplib",
    "ssl",
    "starlette",
    "stdnum",
    "tomlkit",
    "uvicorn",
    "zxcvbn",  # for a passphrase that somebody chose
}
"""What a return that is text and nothing else does not need."""


@pytest.mark.skipif(not hasattr(os, "sched_setaffinity"), reason="needs Linux")
def test_the_build_of_a_text_return_loads_what_it_needs_and_nothing_else(client):
    arguments = [sys.executable, "-c", BUILD, "build", str(client), "--recipe", "client-copy"]
    told = subprocess.run(arguments, capture_output=True, text=True, check=True).stderr
    before, after = (set(line.split()) for line in told.splitlines())
    # The check comes when there is something to check; its proof shows it a picture.
    assert not {"packets.outbound.check", "pypdfium2", "numpy"} & before
    assert {"packets.outbound.check", "pypdfium2", "numpy"} <= after
    assert not SELDOM & after

"""No file of this repository holds a number that somebody living may have.

Never assigned: area 000, 666 or 900-999, group 00, serial 0000 (SSA, POMS
RM 10201.035). Published and void: the four of `VOID`, each printed by an agency
or in an advertisement.
"""

import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SHAPE = re.compile(rb"(?<![\d-])(\d{3})[- ](\d{2})[- ](\d{4})(?![\d-])")
VOID = {b"078051120", b"219099999", b"123456789"}
SKIPPED = {".pdf", ".png", ".jpg", ".jpeg", ".tif", ".tiff", ".ttf", ".otf"}


def could_be_somebodys(area: bytes, group: bytes, serial: bytes) -> bool:
    never = area in (b"000", b"666") or area >= b"900" or group == b"00" or serial == b"0000"
    return not never and area + group + serial not in VOID


def repository_files():
    """Tracked files and new ones that git does not ignore; all files where there is no git."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        check=False,
    )
    if listed.returncode == 0:
        return [ROOT / name for name in listed.stdout.decode().split("\0") if name]
    return [path for path in ROOT.rglob("*") if path.is_file()]


def test_every_number_shaped_like_an_ssn_is_never_assigned_or_published():
    suspects = []
    files = [path for path in repository_files() if path.is_file()]
    assert len(files) > 50
    for path in files:
        if path.suffix.lower() in SKIPPED:
            continue
        for number, line in enumerate(path.read_bytes().splitlines(), start=1):
            if any(could_be_somebodys(*found.groups()) for found in SHAPE.finditer(line)):
                suspects.append(f"{path.relative_to(ROOT)}:{number}")
    assert not suspects


@pytest.mark.parametrize(
    ("written", "suspect"),
    [
        ("000-12-3456", False),
        ("666-12-3456", False),
        ("987-65-4321", False),
        ("078-05-1120", False),
        ("-".join(("401", "23", "4567")), True),
        (" ".join(("401", "23", "4567")), True),
        ("401-00-4567", False),
        ("401-23-0000", False),
    ],
)
def test_the_guard_tells_them_apart(written, suspect):
    found = SHAPE.search(written.encode())
    assert could_be_somebodys(*found.groups()) is suspect

"""The licence is the AGPL, whole, and stated where tools and people look."""

import hashlib
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
FSF_TEXT = "0d96a4ff68ad6d4b6f1f30f713b18d5184912ba8dd389f86aa7710db079abcb0"
"""SHA-256 of agpl-3.0.txt as the Free Software Foundation publishes it."""


def test_the_licence_text_is_unchanged():
    assert hashlib.sha256((ROOT / "LICENSE").read_bytes()).hexdigest() == FSF_TEXT


def test_the_package_and_the_readme_name_it():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    assert project["license"] == "AGPL-3.0-or-later"
    assert "AGPL-3.0-or-later" in (ROOT / "README.md").read_text()

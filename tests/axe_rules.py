"""WCAG 2.2, A and AA, as far as a machine can tell: axe-core, from npm where npm is here."""

import shutil
import subprocess
from pathlib import Path

import pytest
from finished_packets import once

RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
SECONDS = 120


def axe_text(root: Path) -> str:
    """The text of axe-core, fetched once for all test processes; skips where there is none."""
    npm = shutil.which("npm")
    if npm is None:
        pytest.skip("no npm here, so no axe-core: WCAG was not checked")

    def fetch(folder: Path) -> None:
        install = [npm, "install", "--prefix", str(folder), "--no-audit", "--no-fund", "axe-core@4"]
        subprocess.run(install, check=True, capture_output=True, timeout=SECONDS)

    try:
        folder = once(root, "axe-core", fetch)
    except (subprocess.SubprocessError, OSError):
        pytest.skip("npm did not bring axe-core: WCAG was not checked")
    return (folder / "node_modules" / "axe-core" / "axe.min.js").read_text(encoding="utf-8")


def faults(window, axe: str) -> list[str]:
    """What axe-core finds wrong with the page as it stands."""
    window.evaluate(axe)
    found = window.evaluate(
        "(tags) => axe.run(document, {runOnly: {type: 'tag', values: tags}})", RULES
    )
    assert found["passes"]
    return [
        f"{rule['id']}: {node['html']}" for rule in found["violations"] for node in rule["nodes"]
    ]

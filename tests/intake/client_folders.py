"""Client folders laid out for tests. Every name and number in them is invented."""

from collections.abc import Mapping
from pathlib import Path

ENGAGEMENT = """\
[engagement]
id = "2025-0147"
tax_year = 2025
household = "Pat and Robin Sample"
"""


def lay_out(
    root: Path,
    documents: Mapping[str, bytes] | None = None,
    *,
    engagement: str = ENGAGEMENT,
    identifiers: str | None = None,
) -> Path:
    """A client folder at `root`; `documents` are paths under documents/ with their bytes."""
    (root / "documents").mkdir(parents=True)
    (root / "engagement.toml").write_text(engagement, encoding="utf-8")
    for name, data in (documents or {}).items():
        path = root / "documents" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    if identifiers is not None:
        write_secret(root / "identifiers.toml", identifiers)
    return root


def write_secret(path: Path, text: str, mode: int = 0o600) -> Path:
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, encoding="utf-8")
    path.chmod(mode)
    return path

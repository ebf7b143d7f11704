"""Packets that the command has released, opened for reading by others."""

import fcntl
import io
import json
import re
import runpy
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

import pikepdf
from office_folders import SAMPLES_ROOT, Run, build, sample_copy

GAP = r"[^0-9A-Za-z]{0,3}"
"""What may stand between two digits of a number that is written in any of its forms."""
LONG = 9
"""From so many digits on, the number does not stand in a text by chance."""
SECRET_NAMES = ("_SSN", "_ACCOUNT", "_CARD", "_PIN")
MARGIN_OF_HASHES = re.compile(r"\b[0-9a-f]{64}\b")


@dataclass(frozen=True)
class FinishedPacket:
    """What one run of `packets build` has left in a client folder."""

    client: Path
    run: Run

    @property
    def path(self) -> Path:
        return Path(self.run.document["released"]["packet"])

    @property
    def passphrase(self) -> str:
        return Path(self.run.document["released"]["key_file"]).read_text().rstrip("\n")

    @cached_property
    def manifest(self) -> dict[str, Any]:
        return json.loads(Path(self.run.document["released"]["manifest"]).read_bytes())

    @cached_property
    def opened(self) -> bytes:
        """The packet without its encryption, otherwise as it lies in the file."""
        target = io.BytesIO()
        with pikepdf.open(self.path, password=self.passphrase) as pdf:
            pdf.save(target, encryption=False, linearize=False)
        return target.getvalue()


def numbers_of_samples() -> dict[str, str]:
    """Every taxpayer, account and card number and PIN of the samples, by the maker's own list."""
    names = runpy.run_path(str(SAMPLES_ROOT / "making" / "numbers.py"))
    found = {
        name: value
        for name, value in names.items()
        if isinstance(value, str) and name.endswith(SECRET_NAMES)
    }
    assert len(found) > 12
    return found


def written_anyhow(number: str) -> re.Pattern[str]:
    """Matches the number with any separators or none; a short one not inside a longer run."""
    digits = re.sub(r"\D", "", number)
    if len(digits) >= LONG:
        return re.compile(GAP.join(digits))
    return re.compile(rf"(?<![0-9]){GAP.join(digits)}(?![0-9])")


def seen_in(text: str, numbers: dict[str, str]) -> list[str]:
    """The names of the numbers that stand in a text; digests do not count."""
    plain = MARGIN_OF_HASHES.sub("", text)
    return [name for name, number in numbers.items() if written_anyhow(number).search(plain)]


def once(root: Path, name: str, make: Callable[[Path], None]) -> Path:
    """A folder made by whichever test process comes first; the others wait for it."""
    root.mkdir(parents=True, exist_ok=True)
    with (root / f"{name}.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        folder = root / name
        if not (folder / "made").exists():
            shutil.rmtree(folder, ignore_errors=True)
            folder.mkdir()
            make(folder)
            (folder / "made").touch()
    return folder


def finished(root: Path, sample: str, recipe: str, copy: int = 1) -> FinishedPacket:
    """The packet of a fresh copy of a sample; built once for all test processes."""

    def make(folder: Path) -> None:
        client = sample_copy(sample, folder / "client")
        scratch = folder / "scratch"
        scratch.mkdir()
        run = build(client, recipe, scratch=scratch)
        (folder / "run.json").write_text(json.dumps([run.status, run.out, run.err]))
        assert not list(scratch.iterdir()), "something was left among the temporary files"

    folder = once(root, f"{sample}-{recipe}-{copy}", make)
    return FinishedPacket(folder / "client", Run(*json.loads((folder / "run.json").read_text())))

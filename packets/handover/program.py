"""Which program it is: our own code, and the engines underneath."""

import hashlib
import platform
from functools import cache
from importlib.metadata import PackageNotFoundError, requires
from pathlib import Path

import packets
from packets.base.installed import version_of

_LEFT_OUT = frozenset({"__pycache__", "cli", "capture", "review", "loopback", "sample_pdfs"})
"""What has no part in making a packet."""


def program_digest() -> str:
    """SHA-256 over the code that makes packets and the versions of its engines, in hexadecimal.

    Any change of either makes every packet made before a thing of the past, and two
    machines with the same digest make the same packet.
    """
    digest = hashlib.sha256(f"{packets.__version__} {platform.python_version()}\n".encode())
    for engine in _engines():
        digest.update(f"{engine}\n".encode())
    root = Path(packets.__file__).parent
    for file in sorted(root.rglob("*")):
        inside = file.relative_to(root)
        if file.is_file() and _LEFT_OUT.isdisjoint(inside.parts):
            digest.update(inside.as_posix().encode() + b"\0")
            digest.update(hashlib.sha256(file.read_bytes()).digest())
    return digest.hexdigest()


def _engines() -> list[str]:
    """Name and version of each library that `packets` asks for, as it is installed."""
    found = []
    for wanted in requires("packets") or ():
        name = wanted.partition(";")[0]
        for mark in "<>=!~[ ":
            name = name.partition(mark)[0]
        try:
            found.append(f"{name} {version_of(name)}")
        except PackageNotFoundError:
            continue  # an extra that is not here has no part either
    return sorted(set(found))


@cache
def program_digest_once() -> str:
    """The digest as it was when this process first asked: of the code that it has loaded."""
    return program_digest()

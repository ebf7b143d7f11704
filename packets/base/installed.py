"""Which version of a library is installed, read once."""

from functools import cache
from importlib import metadata

_HEAD = "Version:"


@cache
def version_of(library: str) -> str:
    """The version, as the library's metadata say it. Raises `PackageNotFoundError`.

    Only the head of the metadata is read: what follows it is the library's whole manual.
    """
    found = metadata.distribution(library)
    head, _, _ = (found.read_text("METADATA") or "").partition("\n\n")
    said = [line for line in head.splitlines() if line.startswith(_HEAD)]
    # In any other form it is read in the library's own way.
    return said[0].removeprefix(_HEAD).strip() if len(said) == 1 else found.version

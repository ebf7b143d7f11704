"""What a packet is called: ASCII, never a taxpayer number, never a name used before.

`<engagement id>-<recipe name>.pdf`, then `…-2.pdf`, `…-3.pdf`: a packet that
exists is never written over, and an unchanged rebuild is a new version too,
because its passphrase and its encrypted bytes are new.
"""

import re
from collections.abc import Callable
from pathlib import Path

from packets.base.errors import OurFault, UsageError
from packets.sealing.number_free import holds_number

_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*\.pdf")
_LONGEST = 160
LONGEST_FOR_AGENCY = 64
"""Characters of a file name attached to an e-filed return (IRS, recommended PDF names)."""

SIGNATURE_SUFFIX = ".signature.json"


def signature_path(packet: Path) -> Path:
    """`NAME.signature.json` beside `NAME.pdf`: the office's signature on that packet."""
    return packet.with_name(packet.stem + SIGNATURE_SUFFIX)


def packet_name(engagement_id: str, recipe_name: str, version: int = 1) -> str:
    """The file name of one version of a packet.

    Raises `UsageError` when the name would hold nine digits in a row or grouped
    like a taxpayer number; `OurFault` for characters that no loader lets through.
    """
    suffix = "" if version == 1 else f"-{version}"
    name = f"{engagement_id}-{recipe_name}{suffix}.pdf"
    if holds_number(engagement_id) or holds_number(name):
        raise UsageError(
            "the engagement id looks like a taxpayer number, and it names files",
            where="engagement.id",
            remedy="Use the office's own number for the engagement.",
        )
    if not _NAME.fullmatch(name) or len(name) > _LONGEST:
        raise OurFault("a packet was to get a name with characters that are not allowed")
    return name


def next_free_name(engagement_id: str, recipe_name: str, taken: Callable[[str], bool]) -> str:
    """The first version whose name `taken` does not know."""
    version = 1
    while taken(name := packet_name(engagement_id, recipe_name, version)):
        version += 1
    return name

"""Where a packet will lie, settled before the work on it begins."""

import errno
import os
from pathlib import Path

from packets.base.errors import UsageError
from packets.base.files import lies_in
from packets.recipe.model import Audience
from packets.sealing.keys import refuse_beside_keys
from packets.sealing.number_free import plain_text
from packets.sealing.storage_faults import storage_fault
from packets.sealing.waiting import review_folder

SOURCES = ("documents", "signatures")


def out_folder(
    client: Path, audience: Audience, given: Path | None, *, review: bool = False
) -> Path:
    """The folder that the user names, or the audience's own in the client folder.

    With `review` it is the one in which packets wait for a person, and no other. Raises
    `UsageError` for a folder of sources or keys, for one that cannot be written, and for a
    packet with full numbers anywhere but in its own folder.
    """
    own = review_folder(client) if review else client / audience.folder
    if review and given is not None:
        raise UsageError(
            f"this recipe's packets wait for a person to look, in {own.name}/",
            where="--out",
            remedy="Leave --out away; once released, the packet lies in outbound/.",
        )
    out = given or own
    refuse_sources(client, out, "a packet")
    if not review and lies_in(out, review_folder(client)):
        raise UsageError(
            f"in {review_folder(client).name}/ lies what waits for a person: this packet does not",
            where=plain_text(str(out)),
            remedy="Choose another folder with --out.",
        )
    if not audience.masked and not lies_in(out, own):
        raise UsageError(
            f"a packet for {audience.value} carries full numbers and stays in {audience.folder}/",
            where="--out",
            remedy="Leave --out away.",
        )
    _demand_writable(out)
    return out


def refuse_sources(client: Path, out: Path, what: str) -> None:
    """Raise UsageError for a folder of sources or keys, in which `what` may not lie."""
    refuse_beside_keys(client, out)
    for name in SOURCES:
        if lies_in(out, client / name):
            raise UsageError(
                f"{what} may not lie in {name}/, from which packets are made",
                where=plain_text(str(out)),
                remedy="Choose another folder with --out.",
            )


def _demand_writable(out: Path) -> None:
    """A folder that cannot be made or written is named now, not after the work."""
    there = out
    while not there.exists() and there != there.parent:
        there = there.parent
    if not there.is_dir():
        raise storage_fault(errno.ENOTDIR, there)
    if not os.access(there, os.W_OK | os.X_OK):
        raise storage_fault(errno.EACCES, there)

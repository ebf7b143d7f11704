"""The finished packet before the check that lets it out."""

from collections.abc import Sequence

from packets.base.progress import Progress
from packets.identifiers.kinds import KnownNumber
from packets.intake.records import Inventory
from packets.outbound.records import Verdict
from packets.proving.records import Check
from packets.recipe.model import Recipe
from packets.sealing.packet_names import packet_name
from packets.sealing.records import SealedPacket


def judged(
    sealed: SealedPacket,
    inventory: Inventory,
    recipe: Recipe,
    known: Sequence[KnownNumber],
    check: Check,
    progress: Progress,
) -> Verdict:
    """The verdict over a packet of ours, which holds by list and opens with its passphrase."""
    return check(
        sealed.pdf,
        name=packet_name(inventory.engagement.engagement.id, recipe.name),
        passphrase=sealed.passphrase,
        known=known,
        policy=recipe.mask.policy(),
        ours=True,
        progress=progress,
    )

"""What whoever examines a finished packet is told of it."""

from dataclasses import replace

from packets.handover.let_through import Twin
from packets.handover.prepared import Prepared
from packets.intake.records import Inventory
from packets.proving.records import Examination
from packets.recipe.model import Recipe
from packets.sealing.packet_names import packet_name
from packets.sealing.records import SealedPacket


def examination(
    sealed: SealedPacket,
    twin: Twin | None,
    inventory: Inventory,
    recipe: Recipe,
    prepared: Prepared,
) -> Examination:
    """The order for one packet; `twin` is the packet with nothing let through, if anything is."""
    order = Examination(
        name=packet_name(inventory.engagement.engagement.id, recipe.name),
        packet=sealed.pdf,
        passphrase=sealed.passphrase,
        known=prepared.known,
        policy=recipe.mask.policy(),
    )
    if twin is None or prepared.exceptions is None:
        return order
    return replace(
        order,
        packet=twin.sealed.pdf,
        as_sent=sealed.pdf,
        known_as_sent=prepared.exceptions.known,
    )

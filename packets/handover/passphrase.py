"""The passphrase that a packet is locked with."""

from dataclasses import dataclass

from packets.base.errors import UsageError
from packets.base.secret import Secret
from packets.intake.client_folder import ClientFolder
from packets.recipe.model import Audience, Recipe
from packets.sealing.chosen_words import judge_chosen
from packets.sealing.passphrase import check_strength, generate
from packets.sealing.standing import standing_passphrase


@dataclass(frozen=True)
class PacketPassphrase:
    """What locks the packet, and whether it must be shown because nobody knows it yet."""

    secret: Secret | None
    """None for the agency."""
    made_up: Secret | None = None
    """The same where it was made up in this run."""


def passphrase_for(recipe: Recipe, given: Secret | None, folder: ClientFolder) -> PacketPassphrase:
    """Given by the user, the client's standing one, made up, or none for the agency.

    Raises UsageError where one is due, and where the standing one is weaker than this
    recipe asks.
    """
    if not recipe.audience.encrypted:
        return PacketPassphrase(None)
    if given is not None:
        check_strength(given)
        return PacketPassphrase(given)
    if recipe.seal.passphrase != "generate":  # noqa: S105 - a way, not a word
        raise UsageError(
            "this recipe asks for a passphrase and none was given",
            where=f"recipe {recipe.name}",
            remedy="Give it with --password-file, or type it when asked.",
        )
    standing = _standing(recipe, folder) if recipe.audience is Audience.CLIENT else None
    if standing is not None:
        return PacketPassphrase(standing)
    made_up = generate(recipe.seal.words)
    return PacketPassphrase(made_up, made_up)


def _standing(recipe: Recipe, folder: ClientFolder) -> Secret | None:
    """The client's own, judged by this recipe. A third party that got it could open the client's
    other packets, and the office's copies hold full numbers: neither is sealed with it."""
    found = standing_passphrase(folder.root)
    if found is not None:
        file = folder.engagement
        names = (*(person.name for person in file.person), file.engagement.household)
        words = (*names, file.engagement.email, file.engagement.id)
        judge_chosen(found, bits=recipe.seal.bits, known=folder.known, words=words)
    return found

"""The passphrase that a packet is locked with."""

from packets.base.errors import UsageError
from packets.base.secret import Secret
from packets.recipe.model import Recipe
from packets.sealing.passphrase import check_strength, generate


def passphrase_for(recipe: Recipe, given: Secret | None) -> Secret | None:
    """Given by the user, made up, or none for the agency. Raises UsageError where one is due."""
    if not recipe.audience.encrypted:
        return None
    if given is not None:
        check_strength(given)
        return given
    if recipe.seal.passphrase != "generate":  # noqa: S105 - a way, not a word
        raise UsageError(
            "this recipe asks for a passphrase and none was given",
            where=f"recipe {recipe.name}",
            remedy="Give it with --password-file, or type it when asked.",
        )
    return generate(recipe.seal.words)

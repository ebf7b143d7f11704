"""The passphrase of a new packet: from a file or the keyboard, never from the command line."""

from collections.abc import Callable
from pathlib import Path

from packets.base.errors import UsageError
from packets.base.secret import Secret
from packets.recipe.model import Recipe
from packets.sealing.passphrase import check_strength, from_file


def packet_passphrase(
    recipe: Recipe, file: Path | None, ask: Callable[[str], str]
) -> Secret | None:
    """From the file, from the keyboard where the recipe asks, or None to have one generated.

    Judged here, before the work begins, rather than after an hour of it. Raises
    `UsageError` for a passphrase that must not seal a packet, and where the recipe
    wants a file and none is given.
    """
    if not recipe.audience.encrypted:
        return None
    if file is not None:
        given = from_file(file)
    elif recipe.seal.passphrase == "ask":  # noqa: S105 - a way, not a word
        given = asked_twice(ask)
    elif recipe.seal.passphrase == "file":  # noqa: S105 - a way, not a word
        raise UsageError(
            "this recipe takes the passphrase from a file, and none is given",
            where="--password-file",
            remedy="Give --password-file with a file that only you may read (chmod 600).",
        )
    else:
        return None
    check_strength(given)
    return given


def asked_twice(ask: Callable[[str], str], prompt: str = "Passphrase for the packet: ") -> Secret:
    """What is typed at the keyboard, twice the same."""
    first = Secret(ask(prompt))
    second = Secret(ask("The same once more: "))
    if first != second:
        raise UsageError(
            "the two passphrases are not the same",
            remedy="Run the command again and type the same passphrase twice.",
        )
    return first

"""`packets office-key`: the key by which the office signs what it lets out."""

from pathlib import Path

import click
from rich.console import Console

from packets.base.errors import ExitStatus, UsageError
from packets.base.secret import Secret
from packets.cli.options import EXISTING_FOLDER, json_option, office_option, password_file_option
from packets.cli.outcome import Outcome
from packets.cli.passphrase import asked_twice
from packets.cli.plain_text import printable
from packets.cli.sheet import GOOD, Verbatim, heading, lines, points, say
from packets.cli.surroundings import Surroundings
from packets.handover.office_keys import new_office_key, office_public_keys
from packets.sealing.passphrase import from_file


@click.group("office-key", short_help="Make or show the key by which the office signs.")
def command() -> None:
    """Make or show the key by which the office signs what it lets out."""


@command.command("new", short_help="Make a key for the office.")
@click.argument("folder", type=EXISTING_FOLDER)
@click.option("--protect", is_flag=True, help="Ask for a passphrase that protects the key.")
@password_file_option
@json_option
@click.pass_obj
def new(
    surroundings: Surroundings, folder: Path, protect: bool, password_file: Path | None
) -> Outcome:
    """Make an Ed25519 key for the office whose office.toml lies in FOLDER, or above it.

    The private key goes into the office's store, for its owner alone (mode 0600), under
    a passphrase if --protect or --password-file is given. The public key lies beside it
    as PEM: give it to whoever is to prove your packets. No key is ever written over.
    """
    passphrase: Secret | None = None
    if password_file is not None:
        passphrase = from_file(password_file)
    elif protect:
        passphrase = asked_twice(surroundings.ask, "Passphrase for the office's key: ")
    made, value = new_office_key(folder, passphrase)

    def show(console: Console) -> None:
        say(console, ("Made", GOOD), ": a key for the office.")
        rows = [
            ("private key", Verbatim(made.private)),
            ("public key", Verbatim(made.public)),
            ("fingerprint", Verbatim(made.fingerprint)),
        ]
        lines(console, rows)
        heading(console, "Next")
        points(console, ["Write this line into office.toml, under [office]:"])
        console.print(f'    key = "{printable(value)}"', soft_wrap=True)
        points(console, _NEXT)

    return Outcome(
        status=ExitStatus.CLEAN,
        document=lambda: {
            "private_key": str(made.private),
            "public_key": str(made.public),
            "fingerprint": made.fingerprint,
            "protected": made.protected,
            "key": value,
        },
        show=show,
    )


_NEXT = (
    "Keep a copy of the private key where only the office can open it; without it nothing more "
    "can be signed by this key.",
    "Tell the fingerprint by another route than the packets, so that nobody can pass off a key "
    "of his own as yours.",
)


@command.command("show", short_help="Show the office's public keys.")
@click.argument("folder", type=EXISTING_FOLDER)
@office_option
@json_option
def show_keys(folder: Path, office: Path | None) -> Outcome:
    """Show the public keys of the office whose office.toml lies in FOLDER, or above it.

    A key that was replaced stays in the list: what it signed is still proved by it.
    """
    found = office_public_keys(folder, office)
    if not found:
        raise UsageError(
            "the office has no key yet",
            where="office.toml",
            remedy="Make one with `packets office-key new`, and name it in office.toml.",
        )

    def show(console: Console) -> None:
        for path, key in found:
            rows = [("public key", Verbatim(path)), ("fingerprint", Verbatim(key.fingerprint))]
            lines(console, rows)

    return Outcome(
        status=ExitStatus.CLEAN,
        document=lambda: {
            "keys": [
                {"public_key": str(path), "fingerprint": key.fingerprint} for path, key in found
            ]
        },
        show=show,
    )

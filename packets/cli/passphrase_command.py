"""`packets passphrase`: show a kept one, write a call sheet, agree on a standing one."""

import sys
from pathlib import Path

import click
from rich.console import Console

from packets.base.canonical import Json
from packets.base.errors import ExitStatus, UsageError
from packets.base.secret import Secret
from packets.cli.options import client_argument, json_option, password_file_option
from packets.cli.outcome import Outcome
from packets.cli.passphrase import asked_twice
from packets.cli.sheet import GOOD, Verbatim, heading, lines, points, say
from packets.cli.surroundings import Passphrases, Surroundings
from packets.mailing.passphrases import KeptPassphrase
from packets.sealing.passphrase import from_file


@click.command("passphrase", short_help="Show, spell or agree on a client's passphrase.")
@client_argument
@click.option(
    "--packet", default="", metavar="NAME", help="File name of the packet; else the last."
)
@click.option("--show", is_flag=True, help="Show it although standard output is no terminal.")
@click.option(
    "--call-sheet",
    type=click.Path(dir_okay=False, path_type=Path),
    metavar="F.pdf",
    help="Write a sheet that spells it for the telephone; it is not shown then.",
)
@click.option(
    "--set",
    "setting",
    is_flag=True,
    help="Agree on a standing passphrase: asked for, or from --password-file.",
)
@click.option("--drop", is_flag=True, help="Forget the standing passphrase.")
@click.option("--keyring", is_flag=True, help="With --set: keep it in the system's keyring.")
@click.option(
    "--recipe",
    default="client-copy",
    metavar="NAME|FILE",
    help="With --set: the recipe whose [seal] says how strong it must be.",
)
@password_file_option
@json_option
@click.pass_obj
def command(
    surroundings: Surroundings,
    client: Path,
    packet: str,
    show: bool,
    call_sheet: Path | None,
    setting: bool,
    drop: bool,
    keyring: bool,
    recipe: str,
    password_file: Path | None,
) -> Outcome:
    """Show the passphrase of the packet that was last released for the folder CLIENT.

    It is shown on a terminal only, unless --show says otherwise. With --set, the
    client's standing passphrase is asked for or read from a file; packets to come
    are sealed with it wherever the recipe would make one up.
    """
    if sum((setting, drop, bool(call_sheet))) > 1:
        raise UsageError("one thing at a time", where="--set, --drop, --call-sheet")
    if (keyring or password_file) and not setting:
        raise UsageError("this goes with --set only", where="--keyring, --password-file")
    passphrases = surroundings.passphrases()
    if drop:
        return _dropped(passphrases.drop_standing(client))
    if setting:
        given = from_file(password_file) if password_file else asked_twice(surroundings.ask)
        return _set(passphrases, client, given, recipe, keyring=keyring)
    kept = passphrases.passphrase_kept(client, packet)
    if call_sheet is not None:
        return _sheet_written(kept, passphrases.write_call_sheet(kept, call_sheet))
    return _shown(kept, may_show=show or sys.stdout.isatty(), asked=show)


def _shown(kept: KeptPassphrase, *, may_show: bool, asked: bool) -> Outcome:
    if not may_show:
        raise UsageError(
            "this is no terminal, so the passphrase is not shown",
            where=kept.packet,
            remedy="Run the command at a terminal, or give --show if nobody else reads along.",
        )

    def on_screen(console: Console) -> None:
        say(console, _opens(kept))
        # Not through `say`: a passphrase may look like a number and must not be cut.
        console.print(f"  {kept.passphrase.reveal()}", soft_wrap=True)
        heading(console, "Next")
        points(console, ["Read it over the telephone or hand it over in person; never mail it."])

    def document() -> dict[str, Json]:
        # Programs get it only when they say so: --json alone shows none.
        words: Json = kept.passphrase.reveal() if asked else None
        return {"packet": kept.packet, "standing": not kept.packet, "passphrase": words}

    return Outcome(ExitStatus.CLEAN, document, on_screen)


def _opens(kept: KeptPassphrase) -> str:
    return f"Passphrase of {kept.packet}:" if kept.packet else "Standing passphrase:"


def _sheet_written(kept: KeptPassphrase, path: Path) -> Outcome:
    def on_screen(console: Console) -> None:
        say(console, ("Written", GOOD), ": a call sheet")
        lines(console, [("file", Verbatim(path)), ("packet", Verbatim(kept.packet or "all"))])

    return Outcome(
        ExitStatus.CLEAN, lambda: {"packet": kept.packet, "call_sheet": str(path)}, on_screen
    )


def _set(
    passphrases: Passphrases, client: Path, given: Secret, recipe: str, *, keyring: bool
) -> Outcome:
    place = passphrases.set_standing(client, given, recipe, in_keyring=keyring)
    kept_in = "keyring" if place.in_keyring else "file"

    def on_screen(console: Console) -> None:
        say(console, ("Kept", GOOD), ": packets to come are sealed with it.")
        where = "the system's keyring" if place.in_keyring else str(place.path)
        lines(console, [("kept in", Verbatim(where))])

    return Outcome(
        ExitStatus.CLEAN,
        lambda: {"standing": True, "kept_in": kept_in, "file": str(place.path)},
        on_screen,
    )


def _dropped(was_there: bool) -> Outcome:
    words = "Packets to come get a passphrase of their own." if was_there else "There was none."
    return Outcome(
        ExitStatus.CLEAN,
        lambda: {"standing": False, "dropped": was_there},
        lambda console: say(console, words),
    )

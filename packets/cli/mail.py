"""`packets mail`: hand a released packet over, to the office's server or into a file."""

from pathlib import Path

import click

from packets.base.errors import ExitStatus, Held, UsageError
from packets.cli.mail_sheet import mail_form, show_mail
from packets.cli.options import EXISTING_FILE, EXISTING_FOLDER, json_option, password_file_option
from packets.cli.outcome import Outcome
from packets.cli.surroundings import Surroundings
from packets.mailing.records import Asks, MailOrder, PreparedMail
from packets.sealing.passphrase import from_file


@click.command("mail", short_help="Mail a released packet, or save the message.")
@click.argument("packet", type=EXISTING_FILE)
@click.option(
    "--to",
    default="",
    metavar="ADDRESS",
    help="Address to send to; without it the one in engagement.toml, after you confirm it.",
)
@click.option(
    "--also",
    multiple=True,
    metavar="ADDRESS",
    help="A further address; a packet goes to one unless you say so. May be given several times.",
)
@click.option(
    "--save",
    type=click.Path(dir_okay=False, path_type=Path),
    metavar="F.eml",
    help="Write the message to this file, for any mail program to open.",
)
@click.option(
    "--smtp",
    default="",
    metavar="URL",
    help="Send through this server: smtp+starttls://USER@HOST or smtps://USER@HOST.",
)
@click.option(
    "--credentials",
    type=EXISTING_FILE,
    help="File whose first line is the account's password (mode 0600); else the keyring is asked.",
)
@click.option(
    "--ca-file",
    type=EXISTING_FILE,
    help="Certificates (PEM) of the office's own authority, trusted besides the system's.",
)
@click.option("--confirm", is_flag=True, help="Say yes beforehand to what is asked of addresses.")
@click.option("--again", is_flag=True, help="Say yes beforehand to sending what was sent already.")
@click.option(
    "--client",
    type=EXISTING_FOLDER,
    help="The client folder, where the packet lies in a folder outside of it.",
)
@click.option(
    "--recipe",
    default="",
    metavar="NAME|FILE",
    help="Recipe whose [mail] counts; the packet's own, where it is one that ships.",
)
@click.option(
    "--office",
    type=EXISTING_FILE,
    help="The office.toml to use instead of the nearest one upward from the client folder.",
)
@password_file_option
@json_option
@click.pass_obj
def command(
    surroundings: Surroundings,
    packet: Path,
    to: str,
    also: tuple[str, ...],
    save: Path | None,
    smtp: str,
    credentials: Path | None,
    ca_file: Path | None,
    confirm: bool,
    again: bool,
    client: Path | None,
    recipe: str,
    office: Path | None,
    password_file: Path | None,
) -> Outcome:
    """Mail the released packet PACKET, or save the message with it.

    Only a packet that is what manifest and ledger say goes, and its message is
    checked for numbers as well. The passphrase is never in it. Give either --save
    or --smtp. Exit status 4 means that the server did not take it.
    """
    if bool(smtp) == (save is not None):
        raise UsageError(
            "say where the message goes, in one way",
            where="packets mail",
            remedy="Give either --save F.eml or --smtp URL.",
        )
    mailing = surroundings.mailing()
    server = mailing.mail_server(smtp, credentials, ca_file) if smtp else None
    passphrase = from_file(password_file) if password_file else None
    prepared = mailing.prepare_mail(MailOrder(packet, to, also, client, recipe, office, passphrase))
    agreed = {kind for kind, said in ((Asks.ADDRESS, confirm), (Asks.AGAIN, again)) if said}
    _ask(surroundings, prepared, agreed)
    if server is not None:
        sent = mailing.send_mail(prepared, server, surroundings.progress)
    else:
        assert save is not None  # one of the two, by the first check
        sent = mailing.save_mail(prepared, save)
    return Outcome(
        status=ExitStatus.CLEAN,
        document=lambda: mail_form(sent),
        show=lambda console: show_mail(console, sent),
    )


_OPTIONS = {Asks.ADDRESS: "--confirm", Asks.AGAIN: "--again"}


def _ask(surroundings: Surroundings, prepared: PreparedMail, agreed: set[Asks]) -> None:
    """Ask what is left to ask. Raises `UsageError` where nobody is there, `Held` for a no."""
    for asked in prepared.questions:
        if asked.asks in agreed:
            continue
        answer = surroundings.confirm(f"{asked.words[0].upper()}{asked.words[1:]}. Send it?")
        if answer is None:
            raise UsageError(
                f"this must be confirmed, and nobody is there to ask: {asked.words}",
                where=prepared.released.packet.name,
                remedy=f"Run the command at a terminal, or give {_OPTIONS[asked.asks]} after you "
                "have made sure. Nothing was sent.",
            )
        if not answer:
            raise Held(
                "you said no, so nothing was sent",
                where=prepared.released.packet.name,
                remedy="Correct the address, or leave it at that.",
            )

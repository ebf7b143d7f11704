"""`packets ledger`: show, verify or sign what was released for a client."""

from collections.abc import Callable
from pathlib import Path

import click
from rich.console import Console

from packets.base.errors import ExitStatus
from packets.cli.ledger_sheet import ledger_form, show_events, show_verdict
from packets.cli.office_passphrase import office_key_passphrase
from packets.cli.options import (
    client_argument,
    json_option,
    key_password_file_option,
    office_option,
    public_key_option,
)
from packets.cli.outcome import Outcome
from packets.cli.sheet import GOOD, Verbatim, lines, say
from packets.cli.surroundings import Surroundings
from packets.handover.ledger_report import LedgerReport, ledger_report, sign_ledger
from packets.sealing.proof_records import Standing


@click.group("ledger", short_help="Show, verify or sign what was released.")
def command() -> None:
    """Show, verify or sign what was released for a client."""


@command.command("show", short_help="List the events of a client's ledger.")
@client_argument
@public_key_option
@office_option
@json_option
def show(client: Path, public_keys: tuple[Path, ...], office: Path | None) -> Outcome:
    """List the events in the ledger of the folder CLIENT, oldest first.

    Among them each version of each document, with its SHA-256; below them, until when
    what must be kept, by which rule. Exit status 1 means that the ledger is not whole:
    what is shown ends before the first bad line.
    """
    report = ledger_report(client, public_keys, office, whole=True)
    return _outcome(report, lambda console: show_events(console, report), wanted=bool(public_keys))


@command.command("verify", short_help="Check that no line was changed, cut or put in.")
@client_argument
@public_key_option
@office_option
@json_option
def verify_ledger(client: Path, public_keys: tuple[Path, ...], office: Path | None) -> Outcome:
    """Check that no line in the ledger of the folder CLIENT was changed, cut off or put in.

    Exit status 1 means that one was, or that the signature on its head contradicts it;
    with --public-key also that there is none by that key. Note the printed head
    elsewhere from time to time, or let the office sign: only that shows a ledger that
    was rewritten as a whole.
    """
    report = ledger_report(client, public_keys, office, whole=False)
    return _outcome(report, lambda console: show_verdict(console, report), wanted=bool(public_keys))


@command.command("sign", short_help="Sign the ledger as it is now with the office's key.")
@client_argument
@key_password_file_option
@office_option
@json_option
@click.pass_obj
def sign(
    surroundings: Surroundings, client: Path, key_password_file: Path | None, office: Path | None
) -> Outcome:
    """Sign the head of the ledger of the folder CLIENT with the office's key.

    Every release does so by itself; this is for the lines that came after the last one.
    """
    passphrase = office_key_passphrase(client, office, key_password_file, surroundings.ask)
    head, fingerprint = sign_ledger(client, office, passphrase)

    def told(console: Console) -> None:
        say(console, ("Signed", GOOD), f": the ledger up to line {head.lines}.")
        lines(console, [("head", Verbatim(head.last)), ("key", Verbatim(fingerprint))])

    return Outcome(
        status=ExitStatus.CLEAN,
        document=lambda: {"lines": head.lines, "head": head.last, "key": fingerprint},
        show=told,
    )


def _outcome(report: LedgerReport, show: Callable[[Console], None], *, wanted: bool) -> Outcome:
    """`wanted`: a public key was given, so the signature must hold."""
    held = ""
    if wanted and report.signature.standing is not Standing.PROVED:
        held = "Held: the ledger is not proved by the key that was given."
    if report.signature.standing is Standing.CONTRADICTED:
        held = "Held: the signature on the ledger contradicts it."
    if not report.verdict.sound:
        held = "Held: the ledger is not whole."
    return Outcome(
        status=ExitStatus.HELD if held else ExitStatus.CLEAN,
        document=lambda: ledger_form(report),
        show=show,
        note=held,
    )

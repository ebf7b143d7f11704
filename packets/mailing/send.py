"""Let a prepared message go: to the server, or into a file. The ledger hears of either."""

import datetime as dt
import os
from pathlib import Path

from packets.base.errors import DeliveryFailed, UsageError
from packets.base.files import partial_file, sync_folder
from packets.base.progress import Progress, Step, silent
from packets.mailing.delivery import Delivery, Result, deliver
from packets.mailing.prepare import prepare_mail
from packets.mailing.records import MailServer, PreparedMail, Sent
from packets.mailing.sendings import MAILED, MAILING, NOT_MAILED, SAVED, UNANSWERED, begin, end
from packets.mailing.server import mail_server
from packets.sealing import keys
from packets.sealing.number_free import plain_text
from packets.sealing.release_steps import give_name
from packets.sealing.storage_faults import storage_errors_of

__all__ = ["mail_server", "prepare_mail", "save_mail", "send_mail"]

_REMEDIES = {
    Result.LATER: "Nothing was delivered. Servers put strangers off for some minutes "
    "(greylisting): run the same command again in a quarter of an hour.",
    Result.REFUSED: "Nothing was delivered. Read the server's answer above: the address, the "
    "account or the content did not suit it. --save writes the message to a file instead.",
    Result.TOO_LARGE: "Nothing was delivered. Build the packet again with --for-mail and a "
    "--max-message-mb that the server takes.",
    Result.NO_CONNECTION: "Nothing was delivered. See whether the server's name and port are "
    "right and the network is up, or save the message with --save.",
    Result.NOT_TRUSTED: "Nothing was delivered, not even the password. See whether the server's "
    "name is right; give --ca-file for an authority of the office's own.",
    Result.BROKEN: "Nothing was delivered. Run the same command again.",
    Result.UNANSWERED: "The client may have it: look whether it has arrived before you run the "
    "command again, which will then ask.",
}


def save_mail(prepared: PreparedMail, path: Path) -> Sent:
    """Write the message as a file (mode 0600) that any mail program opens.

    Raises `UsageError` for a path that is taken or lies where no packet may lie, and
    `Held` when the packet was sent by another run in the meantime. Nothing is there then.
    """
    where = plain_text(str(path))
    if os.path.lexists(path):
        raise UsageError("this file is there already", where=where, remedy="Choose another name.")
    keys.refuse_beside_keys(prepared.client, path.parent)
    at = dt.datetime.now(dt.UTC)
    with storage_errors_of(path.parent), partial_file(path, prepared.message.data) as partial:
        begin(prepared, SAVED, {"file": plain_text(path.name)})
        give_name(partial, path)
        sync_folder(path.parent)
    return Sent(prepared, at, saved=path)


def send_mail(prepared: PreparedMail, server: MailServer, progress: Progress = silent) -> Sent:
    """Hand the message to the server.

    The ledger gets `mailing` before the first byte of the packet leaves, and how it
    ended after that; a server that refuses before leaves no line. Raises
    `DeliveryFailed` with the server's answer, and `Held` when another run was faster.
    """
    progress(Step("sending", server.host))
    by = f"{server.security.value}://{server.host}:{server.port}"
    begun: list[str] = []

    def about_to_send() -> None:
        begin(prepared, MAILING, {"server": by})
        begun.append(MAILING)

    delivery = deliver(server, prepared.message, about_to_send)
    at = dt.datetime.now(dt.UTC)
    if begun:
        end(prepared, _event(delivery), {"server": by, "answer": delivery.answer})
    if delivery.result is not Result.TAKEN:
        raise _failure(delivery, server)
    return Sent(prepared, at, answer=delivery.answer)


def _event(delivery: Delivery) -> str:
    return {Result.TAKEN: MAILED, Result.UNANSWERED: UNANSWERED}.get(delivery.result, NOT_MAILED)


def _failure(delivery: Delivery, server: MailServer) -> DeliveryFailed:
    words = {
        Result.LATER: "the server puts the message off for now",
        Result.REFUSED: "the server refuses the message",
        Result.TOO_LARGE: "the message is too large for the server",
    }.get(delivery.result)
    return DeliveryFailed(
        f"{words}: {delivery.answer}" if words else delivery.answer,
        where=f"{server.host}:{server.port}",
        remedy=_REMEDIES[delivery.result],
    )

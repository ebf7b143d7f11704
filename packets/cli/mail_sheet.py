"""What `packets mail` has done, in both forms."""

from rich.console import Console

from packets.base.canonical import Json
from packets.cli.plain_text import plain
from packets.cli.sheet import GOOD, Verbatim, heading, lines, points, say
from packets.mailing.records import Sent
from packets.sealing.manifest import utc_text


def mail_form(sent: Sent) -> dict[str, Json]:
    """One sending; the message itself and the passphrase are never here."""
    prepared, message = sent.prepared, sent.prepared.message
    part = prepared.part
    return {
        "packet": str(prepared.released.packet),
        "sha256": prepared.released.sha256,
        "to": [plain(address) for address in message.to],
        "from": plain(message.sender),
        "subject": plain(message.subject),
        "attachment": message.attachment,
        "message_id": message.message_id,
        "message_bytes": len(message.data),
        "checked_again": prepared.checked_again,
        "part": {"number": part[0], "of": part[1]} if part else None,
        "confirmed": [plain(asked.words) for asked in prepared.questions],
        "at": utc_text(sent.at),
        "answer": plain(sent.answer),
        "saved": str(sent.saved) if sent.saved else None,
    }


def show_mail(console: Console, sent: Sent) -> None:
    """The same for a person."""
    message, part = sent.prepared.message, sent.prepared.part
    if sent.saved is not None:
        say(console, ("Saved", GOOD), f": a message to {', '.join(message.to)}")
    else:
        say(console, ("Sent", GOOD), f": to {', '.join(message.to)}")
    rows = [
        ("subject", message.subject),
        ("attachment", message.attachment),
        ("size", f"{len(message.data):,} bytes"),
        ("message", message.message_id),
        ("packet", Verbatim(sent.prepared.released.sha256)),
    ]
    if sent.saved is not None:
        rows.append(("file", Verbatim(sent.saved)))
    else:
        rows.append(("answer", sent.answer))
    lines(console, rows)
    heading(console, "Next")
    steps = [
        "Give the passphrase by telephone or in person, never by mail: `packets passphrase` with "
        "the client folder shows it."
    ]
    if part is not None:
        steps.insert(0, f"This is packet {part[0]} of {part[1]}; each goes in a mail of its own.")
    if sent.saved is not None:
        steps.insert(0, "Open the file in your mail program and send it from there.")
    points(console, steps)

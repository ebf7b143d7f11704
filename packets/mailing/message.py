"""The message: RFC 5322, plain text with an HTML alternative, and the packet attached.

Everything that a library would fill with random digits (message id, boundaries) is
made of letters here, so that a check for nine digits in a row has nothing to excuse.
"""

import datetime as dt
import secrets
import string
from email import policy
from email.headerregistry import Address
from email.message import EmailMessage, Message

from packets.base.errors import UsageError
from packets.mailing import records
from packets.mailing.wording import Wording

_RANDOM_LETTERS = 32
"""Of 26: 150 bits, more than a message id needs to be unique (RFC 5322, 3.6.4)."""
_LONGEST_LINE = 998
"""RFC 5322, 2.1.1, without the CR LF."""


def compose(
    *,
    office: str,
    sender: str,
    to: tuple[str, ...],
    wording: Wording,
    packet: bytes,
    attachment: str,
    now: dt.datetime,
) -> records.Message:
    """The finished message; `attachment` is an ASCII file name.

    Raises `UsageError` where the office's name or the subject cannot stand in a header.
    """
    message_id = f"<{_letters()}@{sender.rpartition('@')[2]}>"
    message = EmailMessage(policy=policy.SMTP)
    try:
        message["Date"] = now.astimezone(dt.UTC)
        message["From"] = Address(display_name=office, addr_spec=sender)
        message["To"] = [Address(addr_spec=address) for address in to]
        message["Subject"] = wording.subject
    except (ValueError, IndexError):
        raise UsageError(
            "the office's name or the subject cannot stand in a mail header",
            remedy="Use one line of plain text for both.",
        ) from None
    message["Message-ID"] = message_id
    message.set_content(wording.plain, cte="quoted-printable")
    message.add_alternative(wording.html, subtype="html", cte="quoted-printable")
    message.add_attachment(packet, maintype="application", subtype="pdf", filename=attachment)
    for part in message.walk():
        if part is not message:
            del part["MIME-Version"]  # RFC 2045, 4: for the whole message, once
        if part.is_multipart():
            _give_boundary(part)
    return records.Message(
        data=message.as_bytes(),
        sender=sender,
        to=to,
        subject=wording.subject,
        message_id=message_id,
        attachment=attachment,
    )


def size_of_message(packet_bytes: int) -> int:
    """About how large a message with a packet of this size becomes, its words included.

    Base64 makes four characters of three bytes and lines of 76 with CR LF
    (RFC 2045, 6.8); 64 KiB are kept for headers and words.
    """
    encoded = 4 * ((packet_bytes + 2) // 3)
    return encoded + 2 * ((encoded + 75) // 76) + 64 * 1024


def _give_boundary(part: Message) -> None:
    part.set_boundary(f"part_{_letters()}")


def _letters() -> str:
    return "".join(secrets.choice(string.ascii_lowercase) for _ in range(_RANDOM_LETTERS))

"""The message itself, judged before it goes: headers, body, names, and what is attached."""

import email
import re
from collections.abc import Iterator, Sequence
from email import policy
from email.message import EmailMessage

from packets.base.canonical import sha256_hex
from packets.base.errors import Held, OurFault
from packets.base.secret import Secret
from packets.identifiers.kinds import KnownNumber, MaskPolicy
from packets.mailing.records import Message
from packets.outbound.hunting import Hunter
from packets.outbound.text_file import read_text_file

_NOT_SPACE_OR_MARK = re.compile(r"[\W_]+")


def check_message(
    message: Message, *, packet_sha256: str, known: Sequence[KnownNumber], secret: Secret | None
) -> None:
    """Raise `Held`, naming place and kind, when the message shows a number or the passphrase.

    What is read are the bytes that would go, parsed anew. `OurFault` when they do
    not hold exactly the packet and two texts.
    """
    parsed = email.message_from_bytes(message.data, policy=policy.SMTP)
    hunter = Hunter(known, MaskPolicy())
    _demand_packet(parsed, packet_sha256)
    seen = [place for place, text, data in _places(parsed) if _shows_number(hunter, text, data)]
    if seen:
        raise Held(
            f"the message itself shows a number: in its {', '.join(dict.fromkeys(seen))}",
            remedy="Take it out of the recipe's [mail], office.toml, engagement.toml or the "
            "address; nothing was sent.",
        )
    words = _bare(secret.reveal()) if secret else ""
    if words and any(words in _bare(text) for _, text, _ in _places(parsed)):
        raise Held(
            "the message itself holds the passphrase of the packet",
            remedy="Take it out; the passphrase goes by telephone or in person. Nothing was sent.",
        )


def _places(parsed: EmailMessage) -> Iterator[tuple[str, str, bytes]]:
    """Each text of the message with its place, and its bytes where it is a body."""
    for part in parsed.walk():
        for name, value in part.items():
            yield f"header {name}", f"{name}: {value}", b""
        if part.get_content_maintype() == "text":
            data = part.get_payload(decode=True)
            assert isinstance(data, bytes)
            yield f"{part.get_content_subtype()} body", data.decode(), data


def _shows_number(hunter: Hunter, text: str, data: bytes) -> bool:
    if hunter.in_page(text):
        return True
    return any(r.sightings or r.unread for r in read_text_file(data, hunter)) if data else False


def _demand_packet(parsed: EmailMessage, packet_sha256: str) -> None:
    kinds = [part.get_content_type() for part in parsed.walk() if not part.is_multipart()]
    attached = list(parsed.iter_attachments())
    if sorted(kinds) != ["application/pdf", "text/html", "text/plain"] or len(attached) != 1:
        raise OurFault("the message does not hold exactly the packet and two texts")
    data = attached[0].get_payload(decode=True)
    if not isinstance(data, bytes) or sha256_hex(data) != packet_sha256:
        raise OurFault("the packet in the message is not the one that was released")


def _bare(text: str) -> str:
    return _NOT_SPACE_OR_MARK.sub("", text).casefold()

"""What mailing takes and hands on. Nothing here can show a passphrase or a page."""

import datetime as dt
from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path

from packets.base.secret import Secret
from packets.sealing.records import Released


@dataclass(frozen=True)
class MailOrder:
    """One packet to hand over by mail."""

    packet: Path
    to: str = ""
    """Empty: the address of the engagement."""
    also: tuple[str, ...] = ()
    """Further addresses, each asked for by name."""
    client: Path | None = None
    """The client folder; None for the one in a folder of which the packet lies."""
    recipe: str = ""
    """Name or path of the recipe whose [mail] counts; empty for the one of the manifest."""
    office: Path | None = None
    passphrase: Secret | None = None
    """Opens the packet where it must be checked again and keys/ has nothing."""


class Asks(StrEnum):
    """What a person is asked before a packet goes."""

    ADDRESS = "address"
    """Whether this is the address: wrong ones are disclosures."""
    AGAIN = "again"
    """Whether it is to go once more."""


@dataclass(frozen=True)
class Question:
    """Something that a person must say yes to."""

    asks: Asks
    words: str
    """A sentence that says what is unusual."""


@dataclass(frozen=True)
class Message:
    """A finished message, as it goes over the wire (RFC 5322, lines ended by CR LF)."""

    data: bytes = field(repr=False)
    sender: str
    to: tuple[str, ...]
    subject: str
    message_id: str
    attachment: str
    """File name that the packet has in the message."""


@dataclass(frozen=True)
class Sending:
    """An earlier sending of the packet, by the ledger."""

    event: str
    at: str
    """RFC 3339, UTC."""
    to: tuple[str, ...]


@dataclass(frozen=True)
class PreparedMail:
    """A message that may go once its questions are answered."""

    client: Path
    released: Released
    message: Message
    questions: tuple[Question, ...]
    earlier: tuple[Sending, ...]
    checked_again: bool
    """Whether the packet was checked anew, because the file is newer than its verdict."""
    part: tuple[int, int] | None = None
    """Which of how many numbered packets this is; None for a packet on its own."""


class Security(StrEnum):
    """How the connection is encrypted."""

    STARTTLS = "smtp+starttls"
    TLS = "smtps"


@dataclass(frozen=True)
class MailServer:
    """The office's mail server (RFC 8314: submission over TLS only)."""

    security: Security
    host: str
    port: int
    user: str = ""
    """Empty: the server asks for no credentials."""
    password: Secret | None = None
    ca_file: Path | None = None
    """Certificates of the office's own authority, trusted besides those of the system."""


@dataclass(frozen=True)
class Sent:
    """A message that a server has taken, or that was saved."""

    prepared: PreparedMail
    at: dt.datetime
    answer: str = ""
    """The server's last answer; empty for a saved message."""
    saved: Path | None = None

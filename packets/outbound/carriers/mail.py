"""Mail as it is sent and saved (RFC 5322, RFC 2045): headers, bodies, what is attached."""

import email
import email.errors
import email.header
import re
from collections.abc import Iterator
from email.message import Message

from packets.base.errors import Damaged, OverLimit
from packets.outbound.carriers.found import Budget, Finding, Part, Sort, Text, Unread

MAIL_ENDINGS = frozenset({".eml", ".mht", ".mhtml", ".mbox"})
_FIRST_LINE = re.compile(
    rb"(?:From |(?:Return-Path|Received|From|To|Subject|Date|Message-ID|MIME-Version|Delivered-To"
    rb"|X-[A-Za-z-]{1,40}|Content-Type|Reply-To):)",
    re.IGNORECASE,
)
_BETWEEN_MAILS = re.compile(rb"^From [^\n]*\n", re.MULTILINE)
_READ_BY_PERSONS = frozenset(
    ["subject", "from", "to", "cc", "bcc", "reply-to", "comments", "keywords", "sender"]
)
_MADE_BY_MACHINES = frozenset(
    [
        "message-id",
        "references",
        "in-reply-to",
        "content-id",
        "received",
        "dkim-signature",
        "arc-seal",
        "arc-message-signature",
    ]
)
"""Headers full of random digits: there only known numbers and dashed shapes count."""
_BOUNDARY = re.compile(r"""boundary\s*=\s*("[^"]*"|[^\s;]+)""", re.IGNORECASE)
_STRUCTURE = re.compile(rb"^content-(?:type|disposition):", re.IGNORECASE | re.MULTILINE)
_HEADER_END = re.compile(rb"\n(?![ \t])")
_LONGEST_HEADER = 32 * 1024
"""Bytes; parsers of parameters and coded words are slow beyond all measure on long ones."""
_MOST_NESTED = 400
"""Multiparts and mails in one mail, at all depths; the parser calls itself for each."""
_NEST = re.compile(rb"^content-type:\s*(?:multipart|message)/", re.IGNORECASE | re.MULTILINE)
_MOST_BYTES = 160 * 1024 * 1024
_CODINGS = frozenset({"", "7bit", "8bit", "binary", "base64", "quoted-printable"})


def is_mail(data: bytes) -> bool:
    """Whether a text begins as a mail does: with header lines that only mails have."""
    if not _FIRST_LINE.match(data):
        return False
    head: bytes = re.split(rb"\r?\n\r?\n", data[:65536], maxsplit=1)[0].lower()
    named = (
        b"from:",
        b"to:",
        b"subject:",
        b"date:",
        b"message-id:",
        b"mime-version:",
        b"received:",
    )
    return sum(head.startswith(name) or b"\n" + name in head for name in named) >= 2


def read_mail(data: bytes, budget: Budget) -> Finding:
    """One mail, or several in an mbox. Raises Damaged or OverLimit."""
    if len(data) > _MOST_BYTES:
        raise OverLimit("a mail larger than this program promises to read")
    if data.startswith(b"From "):
        for one in filter(None, _BETWEEN_MAILS.split(data)):
            yield from _one(one.replace(b"\n>From ", b"\nFrom "), budget)
    else:
        yield from _one(data, budget)


def _one(data: bytes, budget: Budget) -> Finding:
    if len(_NEST.findall(data)) > _MOST_NESTED:
        raise OverLimit("a mail with more parts inside parts than this program promises to read")
    if any(_length(data, head.start()) > _LONGEST_HEADER for head in _STRUCTURE.finditer(data)):
        raise OverLimit("a mail with a header longer than this program promises to read")
    try:
        mail = email.message_from_bytes(data)
    except (RecursionError, ValueError, LookupError, email.errors.MessageError):
        raise Damaged("a mail that cannot be taken apart") from None
    waiting: list[tuple[Message, int]] = [(mail, 0)]
    while waiting:
        part, depth = waiting.pop()
        if depth > budget.depth:
            yield Unread(f"mails inside mails beyond {budget.depth} levels")
            continue
        yield from _headers(part)
        yield from _around(part)
        inner = part.get_payload()
        if isinstance(inner, list):
            deeper = depth + (part.get_content_maintype() == "message")
            waiting += [(each, deeper) for each in inner if isinstance(each, Message)]
        else:
            yield from _body(part, budget)


def _length(data: bytes, start: int) -> int:
    """How long a header is, with the lines that go on with it (RFC 5322, 2.2.3)."""
    end = _HEADER_END.search(data, start)
    return (end.start() if end else len(data)) - start


def _headers(part: Message) -> Iterator[Text | Unread]:
    """Each header as it lies and as it is meant (RFC 2047)."""
    for name, value in part.items():
        header, words = name.lower(), str(value)
        sort = Sort.SHOWN if header in _READ_BY_PERSONS else Sort.HIDDEN
        if header in _MADE_BY_MACHINES or _BOUNDARY.search(words):
            yield Text("a header of the mail", f"{name}: {words}", Sort.JOINED)
            words = "" if header in _MADE_BY_MACHINES else _BOUNDARY.sub("", words)
        yield Text("a header of the mail", f"{name}: {words}", sort)
        if len(words) > _LONGEST_HEADER:
            yield Unread("a header longer than this program promises to read")
        elif "=?" in words:
            yield Text("a header of the mail", f"{name}: {_meant(words)}", sort)


def _meant(words: str) -> str:
    try:
        pieces = email.header.decode_header(words)
        return "".join(
            piece.decode(charset or "latin-1", "replace") if isinstance(piece, bytes) else piece
            for piece, charset in pieces
        )
    except (LookupError, ValueError, email.errors.MessageError):
        return words


def _around(part: Message) -> Iterator[Text | Unread]:
    """What stands before the first and behind the last part, where no reader looks."""
    for words in (part.preamble, part.epilogue):
        if words and words.strip():
            yield Text("text between the parts of the mail", words)
    if part.is_multipart() and str(part.get("content-transfer-encoding", "")).lower() in (
        "base64",
        "quoted-printable",
    ):
        yield Unread("a part of the mail in a coding that such a part cannot have")


def _body(part: Message, budget: Budget) -> Iterator[Part | Unread]:
    coding = str(part.get("content-transfer-encoding", "")).strip().lower()
    if coding not in _CODINGS:
        yield Unread("a part of the mail in a coding that is not read here")
    data = part.get_payload(decode=True)
    if not isinstance(data, bytes):
        yield Unread("a part of the mail that cannot be decoded")
        return
    if any("Base64" in type(defect).__name__ for defect in part.defects):
        yield Unread("a part of the mail whose Base64 is broken")
    budget.take(len(data))
    named = part.get_filename() or _name_by_kind(part)
    charset = part.get_content_charset() or ""
    yield Part(str(named), data, charset="" if charset in ("utf-8", "us-ascii") else charset)


def _name_by_kind(part: Message) -> str:
    kind = part.get_content_type()
    return {"text/html": "body.html", "text/plain": "body.txt", "text/csv": "body.csv"}.get(
        kind, "a part of the mail"
    )

"""One SMTP transaction (RFC 5321) over TLS whose certificate was verified.

All recipients or none: where one is refused, the message goes to nobody. What
leaves as an error says what the server answered; no frame that holds the password
or the message travels with it.
"""

import contextlib
import re
import smtplib
import ssl
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import Enum, auto

from packets.mailing.records import MailServer, Message, Security
from packets.sealing.number_free import without_numbers

SECONDS = 60
"""Patience with each answer; RFC 5321, 4.5.3.2 asks for minutes only of relays."""
_LONGEST_ANSWER = 200
_FIRST_DOT = re.compile(rb"^\.", re.MULTILINE)
_DATA_GO = 354
_TAKEN = 250


class Result(Enum):
    """How a transaction ended."""

    TAKEN = auto()
    LATER = auto()
    """Refused for now (4yz), as servers do to strangers on purpose: greylisting."""
    REFUSED = auto()
    TOO_LARGE = auto()
    NO_CONNECTION = auto()
    NOT_TRUSTED = auto()
    """No TLS, or a certificate that does not prove the server."""
    BROKEN = auto()
    """The line broke before the whole message had gone out."""
    UNANSWERED = auto()
    """The line broke after it had: the server may have taken it."""


_LOST = {
    Result.NO_CONNECTION: "the server cannot be reached, or hung up before it took anything",
    Result.BROKEN: "the connection broke in mid-message",
    Result.UNANSWERED: "the connection broke before the server had answered",
}


@dataclass(frozen=True)
class Delivery:
    """What became of a message."""

    result: Result
    answer: str
    """Of the server, in one line without numbers; else what went wrong, in words."""


class _Ended(Exception):
    """The transaction is over without the message having been taken."""

    def __init__(self, result: Result, answer: str) -> None:
        super().__init__(answer)
        self.result, self.answer = result, answer


def deliver(server: MailServer, message: Message, about_to_send: Callable[[], None]) -> Delivery:
    """Hand the message to the server; `about_to_send` is called before its first byte goes.

    An error of `about_to_send` ends the transaction with nothing sent and goes on.
    """
    transaction = _Transaction(server, message, about_to_send)
    try:
        return transaction.run()
    except _Ended as end:
        return Delivery(end.result, end.answer)


class _Transaction:
    def __init__(
        self, server: MailServer, message: Message, about_to_send: Callable[[], None]
    ) -> None:
        self.server, self.message, self.about_to_send = server, message, about_to_send

    def run(self) -> Delivery:
        context = ssl.create_default_context()
        if self.server.ca_file is not None:
            try:
                context.load_verify_locations(self.server.ca_file)
            except (OSError, ssl.SSLError):
                raise _Ended(Result.NOT_TRUSTED, "--ca-file holds no certificate") from None
        with contextlib.ExitStack() as stack:
            smtp = self._connected(context)
            stack.callback(_hang_up, smtp)
            self._greeted(smtp, context)
            self._logged_in(smtp)
            self._demand_room(smtp)
            self._envelope(smtp)
            self.about_to_send()
            return self._content(smtp)

    def _connected(self, context: ssl.SSLContext) -> smtplib.SMTP:
        server = self.server
        with _told_as(Result.NO_CONNECTION):
            if server.security is Security.TLS:
                return smtplib.SMTP_SSL(server.host, server.port, timeout=SECONDS, context=context)
            return smtplib.SMTP(server.host, server.port, timeout=SECONDS)

    def _greeted(self, smtp: smtplib.SMTP, context: ssl.SSLContext) -> None:
        with _told_as(Result.NO_CONNECTION):
            _demand(smtp.ehlo(), _TAKEN)
            if self.server.security is Security.STARTTLS:
                if not smtp.has_extn("starttls"):
                    raise _Ended(Result.NOT_TRUSTED, "the server offers no encryption (STARTTLS)")
                _demand(smtp.starttls(context=context), 220)
                _demand(smtp.ehlo(), _TAKEN)

    def _logged_in(self, smtp: smtplib.SMTP) -> None:
        password = self.server.password
        if not self.server.user or password is None:
            return
        with _told_as(Result.NO_CONNECTION):
            try:
                smtp.login(self.server.user, password.reveal())
            except smtplib.SMTPNotSupportedError:
                raise _Ended(Result.REFUSED, "the server offers no login") from None

    def _demand_room(self, smtp: smtplib.SMTP) -> None:
        """RFC 1870: the limit that the server declares; 0 or nothing is no limit."""
        declared = smtp.esmtp_features.get("size", "")
        size = len(self.message.data)
        if declared.isascii() and declared.isdigit() and 0 < int(declared) < size:
            raise _Ended(
                Result.TOO_LARGE,
                f"the server takes {int(declared):,} bytes, and the message has {size:,}",
            )

    def _envelope(self, smtp: smtplib.SMTP) -> None:
        options = [f"SIZE={len(self.message.data)}"] if smtp.has_extn("size") else []
        with _told_as(Result.BROKEN):
            _demand(smtp.mail(self.message.sender, options), _TAKEN)
            for address in self.message.to:
                _demand(smtp.rcpt(address), _TAKEN, 251)

    def _content(self, smtp: smtplib.SMTP) -> Delivery:
        with _told_as(Result.BROKEN):
            _demand(smtp.docmd("DATA"), _DATA_GO)
            smtp.send(_FIRST_DOT.sub(b"..", self.message.data))
        with _told_as(Result.UNANSWERED):
            smtp.send(b".\r\n")
            code, words = smtp.getreply()
        _demand((code, words), _TAKEN)
        return Delivery(Result.TAKEN, _answer(code, words))


def _demand(reply: tuple[int, bytes], *wanted: int) -> None:
    code, words = reply
    if code not in wanted:
        raise _refusal(code, words)


def _refusal(code: int, words: bytes | str) -> _Ended:
    if code in (552, 523):
        result = Result.TOO_LARGE
    else:
        result = Result.LATER if 400 <= code < 500 else Result.REFUSED
    return _Ended(result, _answer(code, words))


def _answer(code: int, words: bytes | str) -> str:
    """The server's words in one line: printable, short, without anything like a number."""
    text = words.decode("utf-8", "replace") if isinstance(words, bytes) else words
    line = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    return without_numbers(f"{code} {line}"[:_LONGEST_ANSWER])


@contextlib.contextmanager
def _told_as(broken: Result) -> Iterator[None]:
    """Turn what the library raises into the end of the transaction; `broken` for a lost line."""
    ended: _Ended
    try:
        yield
    except smtplib.SMTPResponseException as error:
        # -1: the server said something that is no reply, and hung up.
        lost = error.smtp_code < 0
        ended = _lost(broken) if lost else _refusal(error.smtp_code, error.smtp_error)
    except ssl.SSLCertVerificationError as error:
        why = error.verify_message or "it does not verify"
        ended = _Ended(Result.NOT_TRUSTED, f"the server's certificate is not to be trusted: {why}")
    except ssl.SSLError:
        ended = (
            _lost(broken)
            if broken is not Result.NO_CONNECTION
            else _Ended(Result.NOT_TRUSTED, "no encrypted connection came about")
        )
    except (OSError, smtplib.SMTPException):
        ended = _lost(broken)
    else:
        return
    raise ended from None


def _lost(result: Result) -> _Ended:
    return _Ended(result, _LOST[result])


def _hang_up(smtp: smtplib.SMTP) -> None:
    with contextlib.suppress(OSError, smtplib.SMTPException):
        smtp.quit()
    smtp.close()

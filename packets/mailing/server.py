"""Which server, over which kind of TLS, and as whom."""

from pathlib import Path
from urllib.parse import SplitResult, unquote, urlsplit

from packets.base.errors import UsageError
from packets.mailing.credentials import password_for
from packets.mailing.records import MailServer, Security

_PORTS = {Security.STARTTLS: 587, Security.TLS: 465}
"""RFC 6409, 3.1 and RFC 8314, 3.3: submission with STARTTLS, and with TLS from the start."""
_FORMS = "smtp+starttls://user@mail.example.org:587 or smtps://user@mail.example.org:465"


def mail_server(url: str, credentials: Path | None, ca_file: Path | None) -> MailServer:
    """The server that the URL names, with the password of its user.

    Raises `UsageError`, which never repeats the URL, for any other scheme (a
    packet leaves over TLS only), for a password in the URL, and where the user's
    password is neither in the file nor in the system's keyring.
    """
    try:
        parts = urlsplit(url)
        port = parts.port
        security = Security(parts.scheme)
    except ValueError:
        raise _wrong("this is no address of a mail server with TLS") from None
    if parts.password is not None:
        raise _wrong(
            "a password on the command line can be read by every account of this machine; "
            "change it, because it has been seen"
        )
    host, user = _host(parts), unquote(parts.username or "")
    password = password_for(host, user, credentials)
    return MailServer(security, host, port or _PORTS[security], user, password, ca_file)


def _host(parts: SplitResult) -> str:
    host = parts.hostname or ""
    if not host or not host.isascii() or parts.path not in ("", "/") or parts.query:
        raise _wrong("this is no address of a mail server with TLS")
    return host


def _wrong(what: str) -> UsageError:
    return UsageError(what, where="--smtp", remedy=f"Write {_FORMS}.")

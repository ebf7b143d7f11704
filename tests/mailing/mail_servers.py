"""Real SMTP servers with TLS, on this machine and for the time of a test."""

import asyncio
import contextlib
import datetime as dt
import ipaddress
import ssl
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from socket import create_connection
from typing import Any

from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP, AuthResult, LoginPassword
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

from packets.base.secret import Secret
from packets.mailing.records import MailServer, Security

USER, PASSWORD = "office", "north-quay-lantern-only"


@dataclass(frozen=True)
class Certificates:
    """An authority of the test's own, and a server's chain with its key."""

    authority: Path
    chain: Path

    def context(self) -> ssl.SSLContext:
        made = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        made.load_cert_chain(self.chain)
        return made


def certificates(folder: Path, host: str = "localhost") -> Certificates:
    """A fresh authority and a certificate for `host`."""
    ca_key, key = ec.generate_private_key(ec.SECP256R1()), ec.generate_private_key(ec.SECP256R1())
    ca_name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Test authority")])
    authority = _built(ca_name, ca_name, ca_key.public_key(), ca_key, ca=True)
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, host)])
    names = [x509.DNSName(host), x509.IPAddress(ipaddress.ip_address("192.0.2.1"))]
    server = _built(name, ca_name, key.public_key(), ca_key, ca=False, names=names)
    made = Certificates(folder / f"{host}-authority.pem", folder / f"{host}-server.pem")
    made.authority.write_bytes(authority.public_bytes(serialization.Encoding.PEM))
    made.chain.write_bytes(
        key.private_bytes(
            serialization.Encoding.PEM,
            serialization.PrivateFormat.PKCS8,
            serialization.NoEncryption(),
        )
        + server.public_bytes(serialization.Encoding.PEM)
    )
    return made


def _built(subject, issuer, public_key, signer, *, ca, names=()):  # type: ignore[no-untyped-def]
    now = dt.datetime.now(dt.UTC)
    builder = (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(public_key)
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - dt.timedelta(days=1))
        .not_valid_after(now + dt.timedelta(days=2))
        .add_extension(x509.BasicConstraints(ca=ca, path_length=None), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(public_key), critical=False)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(signer.public_key()), critical=False
        )
    )
    if names:
        builder = builder.add_extension(x509.SubjectAlternativeName(names), critical=False)
    return builder.sign(signer, hashes.SHA256())


@dataclass
class Inbox:
    """What a server was told, and how it answers; aiosmtpd calls the `handle_` methods."""

    rcpt_answers: dict[str, str] = field(default_factory=dict)
    data_answer: str = "250 2.0.0 taken, queued as 4F2A"
    hang_up_before_answer: bool = False
    stalls: bool = False
    taken: list[bytes] = field(default_factory=list)
    recipients: list[str] = field(default_factory=list)
    data_asked: int = 0

    async def handle_RCPT(self, server, session, envelope, address, options) -> str:  # type: ignore[no-untyped-def] # noqa: N802 - aiosmtpd's names
        self.recipients.append(address)
        answer = self.rcpt_answers.get(address, "250 ok")
        if answer.startswith("250"):
            envelope.rcpt_tos.append(address)
        return answer

    async def handle_DATA(self, server, session, envelope) -> str:  # type: ignore[no-untyped-def] # noqa: N802 - aiosmtpd's names
        self.data_asked += 1
        while self.stalls:
            await asyncio.sleep(0.05)
        if self.hang_up_before_answer:
            server.transport.abort()
            return "250 never seen"
        if self.data_answer.startswith("250"):
            self.taken.append(envelope.content)
        return self.data_answer


class _HangsUpInMidMessage(SMTP):
    async def smtp_DATA(self, arg: str) -> None:  # noqa: N802 - aiosmtpd's name
        await self.push("354 go on")
        await self._reader.read(1000)
        self.transport.abort()


class _AnyPort(Controller):
    """A controller on a port that the system chooses."""

    smtp_class = SMTP

    def factory(self) -> SMTP:
        return self.smtp_class(self.handler, **self.SMTP_kwargs)

    def _trigger_server(self) -> None:
        self.port = self.server.sockets[0].getsockname()[1]
        with contextlib.ExitStack() as stack:
            line = stack.enter_context(create_connection((self.hostname, self.port), 5))
            if self.ssl_context:
                context = ssl.create_default_context()
                context.check_hostname, context.verify_mode = False, ssl.CERT_NONE
                stack.enter_context(context.wrap_socket(line)).recv(100)
            else:
                line.recv(100)


class _Dropping(_AnyPort):
    smtp_class = _HangsUpInMidMessage


def _knows_user(server: SMTP, session: Any, envelope: Any, mechanism: str, data: Any) -> AuthResult:
    right = isinstance(data, LoginPassword) and data == LoginPassword(
        USER.encode(), PASSWORD.encode()
    )
    return AuthResult(success=right, handled=right)


@contextlib.contextmanager
def serving(
    inbox: Inbox,
    certificates: Certificates,
    security: Security = Security.STARTTLS,
    *,
    most_bytes: int = 0,
    login: bool = False,
    drops: bool = False,
    offers_tls: bool = True,
) -> Iterator[MailServer]:
    """A server in a thread, and how `packets` reaches it."""
    kind = _Dropping if drops else _AnyPort
    tls = security is Security.TLS
    controller = kind(
        inbox,
        hostname="localhost",
        port=0,
        ssl_context=certificates.context() if tls else None,
        tls_context=certificates.context() if offers_tls and not tls else None,
        require_starttls=offers_tls and not tls,
        data_size_limit=most_bytes or 50_000_000,
        auth_required=login,
        auth_require_tls=not tls,
        authenticator=_knows_user,
    )
    controller.start()
    try:
        yield MailServer(
            security,
            "localhost",
            controller.port,
            USER if login else "",
            Secret(PASSWORD) if login else None,
            certificates.authority,
        )
    finally:
        controller.stop()

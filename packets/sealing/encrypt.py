"""Encryption: AES-256 as ISO 32000-2 has it (V 5, R 6, one AESV3 filter for everything).

What encryption does not hide (ISO 32000-2:2020, 7.6.1): names, dictionary keys and
numbers outside object streams. So everything goes into object streams. Two kinds of
object cannot: streams' own dictionaries, and the catalog, which the writer leaves
outside in an encrypted file. Their inner dictionaries are therefore moved into
objects of their own, and what names are left in the open must hold no number.
"""

import io
import re
import secrets

import pikepdf

from packets.base.canonical import sha256_hex
from packets.base.errors import OurFault
from packets.base.secret import Secret
from packets.sealing.number_free import holds_number
from packets.sealing.passphrase import check_strength, prepared
from packets.sealing.records import ALGORITHM, NOT_ENCRYPTED, REVISION, SealedPacket

_EVERYTHING_ALLOWED = pikepdf.Permissions(modify_assembly=True)
"""/P -4. Permission bits are a request to the viewer and protect nothing; accessibility
extraction must be granted anyway (ISO 32000-2:2020, 7.6.4.2)."""
_STAYS_IN_STREAM = ("/DecodeParms", "/DP")
"""A reader needs these before it can read anything else."""
_STREAM = re.compile(rb"stream(?<!\wstream)\r?\n")
_ENDSTREAM = re.compile(rb"endstream\b")
_NAME = re.compile(rb"/([^\x00\t\n\f\r ()<>\[\]{}/%]+)")
_NAME_ESCAPE = re.compile(rb"#([0-9A-Fa-f]{2})")
_BEFORE, _LENGTH, _BEHIND = b"/Filter /Standard ", b"/Length 256", b" /O <"
"""How the writer begins the encryption dictionary."""


def seal(pdf: bytes, passphrase: Secret | None) -> SealedPacket:
    """Encrypt a finished packet; with None (agency packets) hand it on byte for byte.

    `passphrase` is judged by `check_strength` (`UsageError`); the record carries
    its SASLprep form, the one to write down and to tell the client. The owner
    password is random and forgotten here. A packet that cannot be opened, is
    encrypted already, or would show a number outside the encryption is our own
    fault: `OurFault`.
    """
    if passphrase is None:
        return SealedPacket(
            pdf=pdf,
            sha256=sha256_hex(pdf),
            passphrase=None,
            algorithm=NOT_ENCRYPTED,
            revision=0,
        )
    check_strength(passphrase)
    ready = prepared(passphrase)
    sealed = _encrypted(pdf, ready)
    _demand_sealed(sealed)
    return SealedPacket(
        pdf=sealed,
        sha256=sha256_hex(sealed),
        passphrase=ready,
        algorithm=ALGORITHM,
        revision=REVISION,
    )


def _encrypted(pdf: bytes, passphrase: Secret) -> bytes:
    target = io.BytesIO()
    try:
        with pikepdf.open(io.BytesIO(pdf)) as packet:
            if packet.is_encrypted:
                raise OurFault("the packet was encrypted before it was sealed")
            _move_inner_dictionaries(packet)
            packet.save(
                target,
                encryption=pikepdf.Encryption(
                    user=passphrase.reveal(),
                    owner=secrets.token_urlsafe(48),
                    R=REVISION,
                    aes=True,
                    metadata=True,
                    allow=_EVERYTHING_ALLOWED,
                ),
                object_stream_mode=pikepdf.ObjectStreamMode.generate,
                linearize=False,
            )
    except (pikepdf.PdfError, pikepdf.PasswordError):
        raise OurFault("the assembled packet cannot be opened for sealing") from None
    return _without_length_entry(target.getvalue())


def _move_inner_dictionaries(packet: pikepdf.Pdf) -> None:
    """Give dictionaries inside the catalog and inside form streams objects of their own."""
    for key, value in dict(packet.Root.items()).items():
        if _is_container(value) and not value.is_indirect:
            packet.Root[key] = packet.make_indirect(value)
    for item in list(packet.objects):
        if isinstance(item, pikepdf.Stream):
            for key, value in dict(item.items()).items():
                inner = isinstance(value, pikepdf.Dictionary) and not value.is_indirect
                if inner and key not in _STAYS_IN_STREAM:
                    item[key] = packet.make_indirect(value)


def _is_container(value: object) -> bool:
    return isinstance(value, pikepdf.Dictionary | pikepdf.Array)


def _without_length_entry(sealed: bytes) -> bytes:
    """Blank /Length of the encryption dictionary, in place, so that no offset moves.

    It means something for V 2 and 3 only (ISO 32000-2:2020, Table 20), and some
    readers warn of it beside V 5.
    """
    blank = b" " * len(_LENGTH)
    return sealed.replace(_BEFORE + _LENGTH + _BEHIND, _BEFORE + blank + _BEHIND)


def _demand_sealed(sealed: bytes) -> None:
    """Stop at once if the file opens without a passphrase or shows a number in a name."""
    try:
        with pikepdf.open(io.BytesIO(sealed)):
            raise OurFault("the sealed packet opens without a passphrase")
    except pikepdf.PasswordError:
        pass
    except pikepdf.PdfError:
        raise OurFault("the sealed packet is damaged") from None
    for name in set(_NAME.findall(_without_streams(sealed))):
        plain = _NAME_ESCAPE.sub(lambda found: bytes([int(found.group(1), 16)]), name)
        if holds_number(plain.decode("utf-8", "replace")):
            raise OurFault("a name outside the encrypted part of the packet holds a number")


def _without_streams(sealed: bytes) -> bytes:
    """Everything but the data of streams, each from its first word to the next last word."""
    kept, at = [], 0
    begin = _STREAM.search(sealed)
    while begin and (end := _ENDSTREAM.search(sealed, begin.end())):
        kept.append(sealed[at : begin.start()])
        at = end.end()
        begin = _STREAM.search(sealed, at)
    return b"".join((*kept, sealed[at:]))

"""Mail addresses: the plain kind that every server takes."""

import re

from packets.base.errors import UsageError

_LOCAL = re.compile(r"[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+(?:\.[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+)*")
_LABEL = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9-]{0,61}[A-Za-z0-9])?")
_LONGEST_LOCAL = 64
_LONGEST = 254
"""RFC 5321, 4.5.3.1: 64 octets before the @, and a path of 256 with its brackets."""


def one_address(text: str, where: str) -> str:
    """The address, with its domain in small letters; `where` names where it was given.

    RFC 5321 dot-strings in ASCII only: quoted local parts, lists, display names,
    line breaks and addresses that need SMTPUTF8 (RFC 6531) are refused as
    `UsageError`, whose message does not repeat the text.
    """
    address = text.strip()
    if not address.isascii():
        raise UsageError(
            "this address has letters outside ASCII, which many servers do not take",
            where=where,
            remedy="Ask the client for an address in plain letters.",
        )
    local, _, domain = address.rpartition("@")
    labels = domain.split(".")
    if (
        not _LOCAL.fullmatch(local)
        or len(local) > _LONGEST_LOCAL
        or len(address) > _LONGEST
        or len(labels) < 2
        or not all(_LABEL.fullmatch(label) for label in labels)
    ):
        raise UsageError(
            "this is no single mail address",
            where=where,
            remedy="Give one address, such as ana@example.org, with nothing around it.",
        )
    return f"{local}@{domain.lower()}"


def same_address(one: str, other: str) -> bool:
    """Whether both are the same to every usual server, which does not heed capitals."""
    return one.casefold() == other.casefold()

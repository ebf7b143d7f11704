"""Text files beside a packet: our own manifest and checksums, and what others add."""

import json
import re
from typing import Any

from packets import __version__
from packets.outbound.crude_scan import Hit
from packets.outbound.hunting import Hunter
from packets.outbound.markup import read_markup
from packets.outbound.objects.strings import is_text, texts_of
from packets.outbound.records import Reading, Sighting

READER = "text file"
TEXT_ENDINGS = frozenset({".json", ".jsonl", ".txt", ".csv", ".xml", ".html", ".htm", ".md"})
TEXT_NAMES = frozenset({"SHA256SUMS"})

_DIGEST = re.compile(r"(?<![0-9A-Za-z])(?:[0-9a-f]{32}|[0-9a-f]{40}|[0-9a-f]{64})(?![0-9A-Za-z])")
"""A checksum in hexadecimal: nine of its digits in a row mean nothing."""


def read_text_file(data: bytes, hunter: Hunter) -> tuple[Reading, ...]:
    """Hunt in a text file: JSON by its members, markup between its tags, the rest as it stands.

    Bytes that are no text are told as unread.
    """
    hits = set(hunter.in_bytes(data))
    unread: tuple[str, ...] = ()
    if not is_text(data):
        unread = ("not a text, although its name says so",)
    for text in texts_of(data):
        members = _json_members(text)
        if members is None:
            body, enclosed = read_markup(_DIGEST.sub("\n", text))
            hits |= set(hunter.in_page(body))
            if enclosed:
                unread = ("files that lie in this text as Base64",)
        else:
            hits |= _in_members(members, hunter)
    seen = tuple(Sighting(kind, 0, "text of the file", READER, sure) for kind, sure in sorted(hits))
    return (Reading(READER, f"packets {__version__}", 0, seen, unread),)


def _json_members(text: str) -> list[tuple[str, Any]] | None:
    """Each member of a JSON document with its key; None for a text that is no JSON."""
    if text[:1] not in ("{", "["):
        return None
    try:
        waiting: list[tuple[str, Any]] = [("", json.loads(text))]
    except (ValueError, RecursionError):
        return None
    members: list[tuple[str, Any]] = []
    while waiting:
        key, value = waiting.pop()
        if isinstance(value, dict):
            members += [("", name) for name in value]
            waiting += value.items()
        elif isinstance(value, list):
            waiting += [(key, item) for item in value]
        else:
            members.append((key, value))
    return members


def _in_members(members: list[tuple[str, Any]], hunter: Hunter) -> set[Hit]:
    """A string may be a bare number; a number may be a size, unless its key says otherwise."""
    hits: set[Hit] = set()
    for key, value in members:
        if isinstance(value, str):
            hits |= set(hunter.in_page(_DIGEST.sub("\n", value)))
        else:
            hits |= set(hunter.in_string(f"{key}: {value}"))
    return hits

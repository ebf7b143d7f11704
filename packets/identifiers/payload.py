"""Numbers in the payload of a barcode: any separators, any layout, plain or base64.

A barcode is read by machines: a masked text beside it is worth nothing while
the symbol still carries the number (Cal. Civ. Code 1798.85 bars encoding it
in a bar code in place of removing it).
"""

import base64
import binascii
from collections.abc import Iterator, Sequence

import regex

from packets.identifiers.digits import fold
from packets.identifiers.find import find_in_text
from packets.identifiers.kinds import Kind, KnownNumber, MaskPolicy
from packets.identifiers.ranges import personal_kind

_NINE = regex.compile(r"(?<![0-9])[0-9]{9}(?![0-9])")
_BASE64 = regex.compile(r"[A-Za-z0-9+/_-]{12,}={0,2}")


def payload_kind(payload: str, known: Sequence[KnownNumber], policy: MaskPolicy) -> Kind | None:
    """The kind of number that a payload carries, or None.

    Stricter than page text: no label can explain a nine-digit run away.
    """
    for text in (payload, *_unpacked(payload)):
        matches = find_in_text(text, known, policy)
        if matches:
            return matches[0].kind
        run = _NINE.search(fold(text).text)
        if run is not None and policy.masks(kind := personal_kind(run.group())):
            return kind
    return None


def _unpacked(payload: str) -> Iterator[str]:
    for match in _BASE64.finditer(payload):
        packed = match.group().replace("-", "+").replace("_", "/").rstrip("=")
        packed += "=" * (-len(packed) % 4)
        try:
            yield base64.b64decode(packed, validate=True).decode("latin-1")
        except (binascii.Error, ValueError):
            continue

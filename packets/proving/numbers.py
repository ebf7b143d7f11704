"""Numbers to plant: shaped like taxpayer numbers, and never assigned to anybody.

No SSN has area 000 or 666 (SSA, POMS RM 10201.035); no ITIN has a middle group below 50
(IRS General Instructions for Forms W-2 and W-3), so 9xx with such a group is nobody's.
"""

import hashlib

from packets.base.secret import Secret
from packets.identifiers.kinds import Kind, KnownNumber

AREAS = ("666", "000", "929")
"""One series of numbers each; another is taken where a file holds a number of the first."""


def never_assigned(area: str, index: int) -> str:
    """Nine digits for plant number `index`; two of them differ in several places."""
    serial = (index * 3_571 + 4_028) % 8_999 + 1_000
    return f"{area}{11 + index * 7 % 38:02d}{serial:04d}"


def never_assigned_from(seed: str, index: int) -> str:
    """Nine digits of area 666 that a text decides; the same text gives the same digits."""
    digest = hashlib.sha256(f"{seed} {index}".encode()).digest()
    return f"666{11 + digest[0] % 88:02d}{1_000 + int.from_bytes(digest[1:5]) % 8_999:04d}"


def with_hyphens(digits: str) -> str:
    """Three, two and four digits."""
    return f"{digits[:3]}-{digits[3:5]}-{digits[5:]}"


def as_known(digits: str, kind: Kind = Kind.SSN) -> KnownNumber:
    """What the check is told of a planted number."""
    return KnownNumber(kind, Secret(digits), given=True)

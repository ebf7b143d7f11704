"""Which numbers can exist. Reported, never trusted: an impossible number is masked all the same.

Sources: SSA POMS RM 10201.035 (SSN areas, groups, serials); IRS General
Instructions for Forms W-2 and W-3 (ITIN middle digits); IRS (ATIN group 93);
the published ABA checksum; ISO/IEC 7812-1 Annex B (Luhn).
"""

from packets.identifiers.kinds import Kind

_ITIN_GROUPS = frozenset({*range(50, 66), *range(70, 89), *range(90, 93), *range(94, 100)})


def is_possible_ssn(digits: str) -> bool:
    """Whether nine digits could be an assigned SSN (POMS RM 10201.035)."""
    area, group, serial = digits[:3], digits[3:5], digits[5:]
    return area not in ("000", "666") and area < "900" and group != "00" and serial != "0000"


def is_itin(digits: str) -> bool:
    """Whether nine digits lie in the ranges the IRS issues ITINs from."""
    return digits[0] == "9" and int(digits[3:5]) in _ITIN_GROUPS


def is_atin(digits: str) -> bool:
    """Whether nine digits lie in the range of adoption numbers (9xx-93-xxxx)."""
    return digits[0] == "9" and digits[3:5] == "93"


def personal_kind(digits: str) -> Kind:
    """The kind of a nine-digit personal number, by its range alone."""
    if is_atin(digits):
        return Kind.ATIN
    return Kind.ITIN if is_itin(digits) else Kind.SSN


def is_routing_number(digits: str) -> bool:
    """Whether nine digits pass the ABA check 3(d1+d4+d7)+7(d2+d5+d8)+(d3+d6+d9) = 0 mod 10."""
    if len(digits) != 9:
        return False
    weights = (3, 7, 1) * 3
    return sum(int(d) * w for d, w in zip(digits, weights, strict=True)) % 10 == 0


def passes_luhn(digits: str) -> bool:
    """Whether the last digit is the Luhn check digit of the others (ISO/IEC 7812-1 Annex B)."""
    from stdnum import luhn  # noqa: PLC0415 - few pages hold a card-like number

    return bool(luhn.is_valid(digits))

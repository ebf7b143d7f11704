"""What a masked number looks like (26 CFR 301.6109-4(a); IRS transcripts for accounts)."""

from collections.abc import Sequence

from packets.identifiers.kinds import NINE_DIGIT_KINDS, Kind, MaskGlyph


def hidden_positions(kind: Kind, count: int) -> range:
    """Which of a number's `count` digits are taken out, counted from its first digit.

    Nine-digit taxpayer numbers lose the first five (26 CFR 301.6109-4(a));
    accounts and cards keep the last four, and nothing where four or fewer
    digits exist; PINs go whole.
    """
    if kind is Kind.IP_PIN:
        return range(count)
    if kind in NINE_DIGIT_KINDS and count == 9:
        return range(5)
    return range(count - 4) if count > 4 else range(count)


def masked_form(written: str, digits: Sequence[int], kind: Kind, glyph: MaskGlyph = "X") -> str:
    """`written` with the hidden digits replaced and its punctuation kept.

    `digits` are the indexes in `written` of the number's digits, in order.
    """
    characters = list(written)
    for position in hidden_positions(kind, len(digits)):
        characters[digits[position]] = glyph
    return "".join(characters)

"""Texts made to keep a reader busy: each is read to its end, in time that grows with its length."""

import pytest
from drawn_sheet import DrawnSheet

from packets.base.secret import Secret
from packets.identifiers.find import find_in_text
from packets.identifiers.kinds import ALL_KINDS, Kind, KnownNumber, MaskPolicy
from packets.identifiers.payload import payload_kind

EVERY_KIND = MaskPolicy(kinds=ALL_KINDS)
KNOWN = (KnownNumber(Kind.SSN, Secret("000123456")), KnownNumber(Kind.ACCOUNT, Secret("1111111")))
HOSTILE = {
    "digits": "1" * 100_000,
    "digits and spaces": "1 " * 50_000,
    "digits and dashes": "1-" * 50_000,
    "digits and dots": "1." * 50_000,
    "digits and commas": "1," * 50_000,
    "brackets": "(" * 100_000,
    "spaces": " " * 100_000,
    "tabs": "1" + "\t" * 100_000 + "1",
    "newlines": "\n" * 100_000,
    "dashes at line ends": "000-\n" * 20_000,
    "a PIN without end": "PIN " + "1" * 100_000 + ".5",
    "a PIN of boxes without end": "PIN " + "1 " * 50_000 + ",5",
    "an account without end": "Account number " + "a1-" * 30_000,
    "boxes that stop short": ("1    " * 8 + "x ") * 5_000,
    "boxes with tabs that stop short": ("1\t\t\t\t" * 8 + "x ") * 5_000,
    "labels": "SSN EIN " * 10_000,
    "labels and digits": "SSN 1 EIN 2 " * 8_000,
    "labels over runs": "SSN EIN " * 5_000 + "\n" + "12345678 " * 10_000,
    "choices": "SSN or EIN or " * 5_000,
    "half labels": "social security employer payer's " * 3_000,
    "masks": "SSN XXXXX6789 " * 8_000,
    "mask glyphs": "X" * 100_000,
    "mask glyphs in boxes": "X " * 50_000,
    "mask glyphs and digits": "X9" * 50_000,
    "shapes": "000-12-3456 " * 8_000,
    "rows of groups": "000 12 3456 100 " * 6_000,
    "runs of nine": "000123456," * 10_000,
    "fields on lines": "SSN\n000\n12\n3456\n" * 5_000,
    "cards": "4111 " * 20_000,
    "zero-width characters": "0\u200b" * 50_000,
    "raised digits": "1\u00b2" * 50_000,
    "base64": "QUJD" * 25_000,
}


@pytest.mark.parametrize("what", HOSTILE)
def test_a_hostile_text_is_read_to_its_end(what):
    text = HOSTILE[what]
    matches = find_in_text(text, KNOWN, EVERY_KIND)
    assert all(0 <= match.start < match.end <= len(text) for match in matches)
    assert payload_kind(text, KNOWN, EVERY_KIND) in {None, *Kind}


@pytest.mark.parametrize("what", HOSTILE)
def test_a_hostile_line_on_a_page_is_read_to_its_end(what):
    page = DrawnSheet().text(0, 10, HOSTILE[what].replace("\n", " ")[:20_000])
    assert all(match.digits for match in page.matches(KNOWN))


def stacked(count: int, text: str, right: float, down: float, size: float) -> DrawnSheet:
    page = DrawnSheet()
    for row in range(count):
        page.text(right * row, down * row, text, size)
    return page


@pytest.mark.parametrize(
    "page",
    [
        stacked(1_500, "Account number 12345", 0.0, 0.02, 0.01),
        stacked(1_500, "Account number 12345", 0.0, 0.4, 0.3),
        stacked(1_500, "000123456", 0.0, 0.0, 10.0),
        stacked(1_500, "0123456", 0.01, 0.0, 10.0),
        stacked(1_500, "01234", 1.0, 0.001, 5.0),
        DrawnSheet().text(0, 10, "SSN EIN " * 2_500).text(0, 22, "12345678 " * 2_500),
        DrawnSheet().text(0, 10, "Account number").text(0, 22, "12345678   " * 1_000),
    ],
)
def test_a_hostile_page_is_read_to_its_end(page):
    assert all(match.digits for match in page.matches(KNOWN))

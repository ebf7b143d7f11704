"""Truncated numbers against the published rule and the published ranges.

26 CFR 301.6109-4(a) (T.D. 9675, T.D. 9861): the first five of nine digits become X or
an asterisk, the punctuation of the number replaced stays. SSA POMS RM 10201.035: numbers
that were never assigned. IRS General Instructions for Forms W-2 and W-3: ITIN ranges.
"""

import pytest

from packets.identifiers.find import find_in_text
from packets.identifiers.kinds import ALL_KINDS, Kind, MaskPolicy
from packets.identifiers.masked import masked_form
from packets.identifiers.ranges import (
    is_atin,
    is_itin,
    is_possible_ssn,
    is_routing_number,
    passes_luhn,
)

EVERY_KIND = MaskPolicy(kinds=ALL_KINDS)


def masked(text: str, glyph: str = "X") -> str:
    characters = list(text)
    for match in find_in_text(text, (), EVERY_KIND):
        for index in match.hidden:
            characters[index] = glyph
    return "".join(characters)


@pytest.mark.parametrize(
    ("written", "with_x", "with_asterisk"),
    [
        ("123-45-6789", "XXX-XX-6789", "***-**-6789"),
        ("123456789", "XXXXX6789", "*****6789"),
        ("123 45 6789", "XXX XX 6789", "*** ** 6789"),
        ("900-70-0001", "XXX-XX-0001", "***-**-0001"),  # an ITIN
        ("900-93-0002", "XXX-XX-0002", "***-**-0002"),  # an ATIN
        ("12-3456789", "XX-XXX6789", "**-***6789"),  # an EIN
    ],
)
def test_a_truncated_number_has_the_form_the_regulation_gives(written, with_x, with_asterisk):
    assert masked(written) == with_x
    assert masked(written, "*") == with_asterisk


@pytest.mark.parametrize("already", ["XXX-XX-6789", "***-**-6789", "XXXXX6789", "XX-XXX6789"])
def test_what_is_truncated_already_stays(already):
    assert masked(already) == already


@pytest.mark.parametrize("wrong", ["XXX-XX-XXXX", "XXX-45-6789", "XXX-XX-56789", "123-XX-6789"])
def test_no_other_form_is_ever_written(wrong):
    assert masked("123-45-6789") != wrong


def test_an_ein_is_not_cut_like_an_ssn():
    assert masked("12-3456789") not in ("XX-XXXX789", "XXX-XX-6789")


@pytest.mark.parametrize(
    ("kind", "written", "shown"),
    [
        (Kind.ACCOUNT, "0012345678", "XXXXXX5678"),  # as IRS transcripts do, IR-2020-254
        (Kind.ACCOUNT, "1234", "XXXX"),
        (Kind.CARD, "4111111111111111", "XXXXXXXXXXXX1111"),
        (Kind.IP_PIN, "123456", "XXXXXX"),
    ],
)
def test_accounts_keep_the_last_four_and_pins_nothing(kind, written, shown):
    assert masked_form(written, range(len(written)), kind) == shown


@pytest.mark.parametrize("never", ["000123456", "666123456", "900123456", "123003456", "123450000"])
def test_numbers_the_ssa_never_assigned_are_known_as_such_and_masked_all_the_same(never):
    assert not is_possible_ssn(never)
    dashed = f"{never[:3]}-{never[3:5]}-{never[5:]}"
    assert masked(dashed) == f"XXX-XX-{never[5:]}"


@pytest.mark.parametrize("area", ["734", "749", "773", "899"])
def test_areas_assigned_only_since_randomization_are_possible(area):
    assert is_possible_ssn(area + "123456")


@pytest.mark.parametrize("group", [*range(50, 66), *range(70, 89), *range(90, 93), *range(94, 100)])
def test_every_published_itin_group_is_one(group):
    assert is_itin(f"900{group:02}0001")


@pytest.mark.parametrize("group", [0, 49, 66, 69, 89, 93])
def test_groups_outside_the_published_itin_ranges_are_not(group):
    assert not is_itin(f"900{group:02}0001")


def test_group_93_is_for_pending_adoptions():
    assert is_atin("900930002")
    assert not is_atin("800930002")


@pytest.mark.parametrize("number", ["111000025", "021000021", "218001435", "076401251"])
def test_published_routing_numbers_pass_the_aba_check(number):
    assert is_routing_number(number)


@pytest.mark.parametrize("number", ["123456789", "021000012"])
def test_numbers_that_fail_the_aba_check(number):
    assert not is_routing_number(number)


def test_a_routing_number_that_is_a_possible_ssn_goes_unless_its_label_explains_it():
    assert is_possible_ssn("076401251")
    assert masked("076401251") == "XXXXX1251"
    assert masked("Routing number 076401251") == "Routing number 076401251"


@pytest.mark.parametrize(
    "card",
    ["4111111111111111", "4012888888881881", "5555555555554444", "378282246310005",
     "371449635398431", "6011111111111117", "30569309025904", "3530111333300000",
     "4222222222222"],
)  # fmt: skip
def test_published_test_cards_pass_the_luhn_check_and_are_masked(card):
    assert passes_luhn(card)  # ISO/IEC 7812-1 Annex B
    assert masked(card) == "X" * (len(card) - 4) + card[-4:]


@pytest.mark.parametrize("number", ["4111111111111112", "79927398710"])
def test_numbers_that_fail_the_luhn_check(number):
    assert not passes_luhn(number)

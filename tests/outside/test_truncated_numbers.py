"""Published numbers and published ranges, on pages and in sentences.

Sources: 26 CFR 301.6109-4(a) (form of a truncated number); IR-2020-254 (accounts on
transcripts keep the last four); SSA history pages (void and advertising numbers); IRS
General Instructions for Forms W-2 and W-3 (ITIN groups); IRS, "How EINs are assigned"
(prefixes); the published ABA check. `test_ttin_forms.py` holds the rule itself.
"""

import pytest
from stdnum.us import itin as stdnum_itin

from packets.identifiers.find import find_in_text
from packets.identifiers.kinds import ALL_KINDS, Kind, MaskPolicy
from packets.identifiers.layout import GlyphRun, find_on_page
from packets.identifiers.ranges import is_itin, is_possible_ssn, is_routing_number

EVERY_KIND = MaskPolicy(kinds=ALL_KINDS)
LISTED_PREFIXES = [*range(1, 7), *range(10, 17), *range(20, 28), *range(30, 49), *range(50, 69),
                   *range(71, 78), *range(80, 89), *range(90, 96), 98, 99]  # fmt: skip


def on_a_page(text: str, glyph: str = "X") -> str:
    """The text after masking, drawn as one line of a page."""
    x0 = [6.0 * k for k in range(len(text))]
    run = GlyphRun(text, x0, [left + 5.0 for left in x0], 0.0, 12.0, 0)
    hidden = {
        number
        for match in find_on_page([run], (), EVERY_KIND)
        for digit in match.hidden
        for number in digit
    }
    return "".join(glyph if k in hidden else char for k, char in enumerate(text))


def kinds(text: str) -> list[Kind]:
    return [match.kind for match in find_in_text(text, (), EVERY_KIND)]


@pytest.mark.parametrize(
    ("written", "truncated"),
    [
        ("123-45-6789", "***-**-6789"),
        ("123456789", "*****6789"),
        ("123 45 6789", "*** ** 6789"),
        ("900-70-0001", "***-**-0001"),
        ("900-93-0002", "***-**-0002"),
        ("12-3456789", "**-***6789"),
        ("XXX-XX-6789", "XXX-XX-6789"),
        ("***-**-6789", "***-**-6789"),
    ],
)
def test_a_page_gets_the_same_form_as_a_text(written, truncated):
    assert on_a_page(written, "*") == truncated


@pytest.mark.parametrize("last", range(10))
def test_numbers_reserved_for_advertising_are_masked_and_fall_into_the_itin_range(last):
    number = f"987-65-432{last}"
    assert on_a_page(number) == f"XXX-XX-432{last}"
    assert kinds(number) == [Kind.ITIN]
    assert not is_possible_ssn(number.replace("-", ""))


@pytest.mark.parametrize("void", ["078-05-1120", "219-09-9999"])
def test_numbers_declared_void_are_masked_like_any_other(void):
    assert is_possible_ssn(void.replace("-", ""))
    assert on_a_page(void) == f"XXX-XX-{void[-4:]}"


@pytest.mark.parametrize("area", ["000", "666", "900", "999"])
def test_areas_never_assigned_are_impossible_and_masked(area):
    assert not is_possible_ssn(f"{area}123456")
    assert on_a_page(f"{area}-12-3456") == "XXX-XX-3456"


@pytest.mark.parametrize("group", range(50, 66))
def test_the_groups_that_the_irs_added_are_itins_whatever_a_library_says(group):
    assert is_itin(f"900{group}0001")
    assert kinds(f"900-{group}-0001") == [Kind.ITIN]


@pytest.mark.parametrize("group", [*range(50), *range(66, 100)])
def test_in_all_other_groups_a_library_agrees(group):
    number = f"900{group:02}0001"
    assert stdnum_itin.is_valid(number) == is_itin(number)


@pytest.mark.parametrize("prefix", LISTED_PREFIXES)
def test_every_listed_prefix_makes_an_ein(prefix):
    assert kinds(f"{prefix:02}-0000017") == [Kind.EIN]


@pytest.mark.parametrize("prefix", [0, 7, 19, 28, 49, 69, 70, 78, 89, 96, 97])
def test_a_prefix_not_yet_listed_makes_an_ein_too(prefix):
    assert kinds(f"{prefix:02}-0000017") == [Kind.EIN]


@pytest.mark.parametrize(
    ("account", "shown"),
    [
        ("0012345678", "XXXXXX5678"),
        ("0012-345-678", "XXXX-XX5-678"),
        ("12345", "X2345"),
        ("1234", "XXXX"),
        ("123", "XXX"),
    ],
)
def test_an_account_keeps_its_last_four_and_a_short_one_nothing(account, shown):
    assert on_a_page(f"Account number {account}") == f"Account number {shown}"


@pytest.mark.parametrize("pin", ["123456", "12345"])
def test_a_pin_goes_whole(pin):
    assert on_a_page(f"Identity Protection PIN {pin}").endswith(" " + "X" * len(pin))


@pytest.mark.parametrize("number", ["021000021", "111000025", "218001435", "076401251"])
def test_a_valid_routing_number_stays_by_its_label_alone(number):
    assert is_routing_number(number)
    assert on_a_page(f"Routing number {number}") == f"Routing number {number}"
    assert on_a_page(f"Number {number}") == f"Number XXXXX{number[-4:]}"

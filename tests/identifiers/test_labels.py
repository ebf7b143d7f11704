"""Every printed label of facts of the trade: what it makes of the run behind it, or below it."""

import pytest

from packets.identifiers.find import decide, find_in_text
from packets.identifiers.kinds import ALL_KINDS, Kind, MaskPolicy
from packets.identifiers.records import Sureness, TextMatch

EVERY_KIND = MaskPolicy(kinds=ALL_KINDS)


def found(text: str) -> list[tuple[str, str]]:
    """(kind, digits) of every number, in the order of the text."""
    matches = find_in_text(text, (), EVERY_KIND)
    return [(str(match.kind), "".join(text[i] for i in match.digits)) for match in matches]


PERSONAL = [
    "Your social security number",
    "Spouse\u2019s social security number",
    "a Employee\u2019s social security number",
    "Box 2. Beneficiary\u2019s Social Security Number",
    "Social security number (SSN)",
    "SOCIAL SECURITY NO.",
    "SSN",
    "S.S.N.",
    "SS#",
    "Soc. Sec. No.",
    "RECIPIENT\u2019S TIN",
    "RECIPIENT'S TIN",
    "RECIPIENT\u2019S/LENDER\u2019S TIN",
    "PAYER\u2019S/BORROWER\u2019S TIN",
    "BORROWER\u2019S TIN",
    "STUDENT\u2019S TIN",
    "5 Recipient\u2019s SSN",
    "Partner\u2019s identifying number",
    "Partner\u2019s SSN or TIN",
    "Shareholder\u2019s identifying number",
    "Beneficiary\u2019s identifying number",
    "Recipient's identification number",
    "Taxpayer identification number (TIN)",
    "Identifying number",
    "Social security number or EIN",
    "EIN or SSN",
    "SSN/EIN",
]
EMPLOYERS = [
    "b Employer identification number (EIN)",
    "Employer\u2019s identification number",
    "FILER\u2019S employer identification no.",
    "PAYER'S federal identification number",
    "A Partnership\u2019s employer identification number",
    "A Corporation\u2019s employer identification number",
    "A Estate\u2019s or trust\u2019s employer identification number",
    "Firm\u2019s EIN",
    "FEIN",
    "Federal ID No.",
]
ACCOUNTS = [
    "Account number (see instructions)",
    "d Account number",
    "Acct. No.",
    "Acct #",
    "Account:",
    "2 Marketplace-assigned policy number",
    "Policy number",
    "Loan number",
]
EXPLAINED = [
    "Routing number",
    "b Routing number",
    "RTN",
    "ABA No.",
    "d Control number",
    "Invoice number",
    "Invoice no.",
    "Cat. No.",
    "OMB No.",
    "CUSIP No.",
    "ZIP code",
    "Check number",
    "Order number",
    "Reference number",
    "Confirmation number",
    "Tracking no.",
    "Serial number",
    "Document locator number",
    "DLN",
    "Customer number",
    "Case number",
    "Parcel number",
    "ISBN",
    "Amount",
    "Driver\u2019s license no.",
    "Employer\u2019s state ID number",
    "State/Payer\u2019s state no.",
]
PINS = [
    "Identity Protection PIN",
    "IP PIN",
    "Enter your five-digit PIN",
    "Prior-year PIN",
    "to enter or generate my PIN",
]


@pytest.mark.parametrize("between", [" ", ": ", "\n", "\t", " . . . . "])
@pytest.mark.parametrize("label", PERSONAL)
def test_a_personal_number_is_found_by_its_label(label, between):
    assert found(f"{label}{between}000123456") == [("ssn", "000123456")]
    assert found(f"{label}{between}000 123 456") == [("ssn", "000123456")]


@pytest.mark.parametrize("between", [" ", ": ", "\n", "\t"])
@pytest.mark.parametrize("label", EMPLOYERS)
def test_an_employer_number_is_told_from_a_personal_one_by_its_label(label, between):
    assert found(f"{label}{between}07-0000017") == [("ein", "070000017")]
    assert found(f"{label}{between}070000017") == [("ein", "070000017")]


@pytest.mark.parametrize("between", [" ", ": ", "\n", "\t"])
@pytest.mark.parametrize("label", ACCOUNTS)
def test_an_account_is_found_by_its_label(label, between):
    assert found(f"{label}{between}0088412073") == [("account", "0088412073")]
    assert found(f"{label}{between}5520-00-418") == [("account", "552000418")]


@pytest.mark.parametrize("label", EXPLAINED)
def test_a_run_that_its_label_explains_stays(label):
    assert found(f"{label} 111000025") == []
    assert found(f"{label}: 111000025") == []
    assert found(f"{label}\n111000025") == []


@pytest.mark.parametrize("label", PINS)
def test_a_pin_is_found_whole_by_its_label(label):
    assert found(f"{label} 41827") == [("ip-pin", "41827")]
    assert found(f"{label}: 418203") == [("ip-pin", "418203")]
    assert found(f"{label}\n4 1 8 2 7") == [("ip-pin", "41827")]


@pytest.mark.parametrize("pin", ["00071412345", "000714 12345", "0 0 0 7 1 4 1 2 3 4 5"])
def test_the_efin_and_pin_of_an_originator_go_together(pin):
    label = "Enter your six-digit EFIN followed by your five-digit self-selected PIN."
    assert found(f"ERO\u2019s EFIN/PIN. {label} {pin}") == [("ip-pin", "00071412345")]


def test_a_claim_number_is_the_number_before_its_letter():
    assert found("Box 8. Claim Number 000-12-3456A") == [("ssn", "000123456")]
    assert found("Claim number 000123456A") == [("ssn", "000123456")]


def test_a_shape_beats_the_label_of_something_else():
    assert found("Control number 000-12-3456") == [("ssn", "000123456")]
    assert found("Employer identification number 000-12-3456") == [("ssn", "000123456")]


def test_a_label_speaks_of_one_run_only():
    assert found("Routing number 021000021 Account number 123456789") == [("account", "123456789")]
    assert found("Invoice no. 111000025, for 000123456") == [("ssn", "000123456")]
    assert found("EIN 070000017 and 000123456") == [("ein", "070000017"), ("ssn", "000123456")]


def test_words_between_a_common_word_and_a_run_explain_nothing():
    assert found("Amount due from Jane Sample 000123456") == [("ssn", "000123456")]
    assert found("SSN of the group number holder 000123456") == [("ssn", "000123456")]


def test_a_page_number_in_a_caption_does_not_answer_for_its_number():
    assert found("Your social security number (see page 12) 000123456") == [("ssn", "000123456")]
    assert found("Control number (see box 12) 111000025") == []


def test_labels_of_two_columns_speak_in_their_order():
    assert found("EIN SSN\n070000017 000123456") == [("ein", "070000017"), ("ssn", "000123456")]
    assert found("Account number SSN\n0088412073 000 12 3456") == [
        ("account", "0088412073"),
        ("ssn", "000123456"),
    ]


def test_an_account_ends_where_a_date_an_amount_or_a_year_begins():
    for after in ("03/03/2026", "1,234.56", "2025", "84,200"):
        assert found(f"Account number 0088412073 {after}") == [("account", "0088412073")]
    assert found("Account ending in 2073") == []
    assert found("Account number (see instructions) 1,234.56") == []


def test_a_label_reaches_over_an_amount_to_the_number_in_boxes():
    boxes = "0 0 0 1 2 3 4 5 6"
    assert found(f"SSN 12345 {boxes}") == [("ssn", "000123456")]
    assert found(f"SSN 1 2 3 4 5\t{boxes}") == [("ssn", "000123456")]


def test_a_label_explains_its_own_run_and_not_the_next_number_beside_it():
    expected = [("ssn", "000123456"), ("ssn", "000123456")]
    assert found("Invoice no. 000-12-3456 0 0 0 1 2 3 4 5 6") == expected


def test_the_rest_of_a_shape_that_a_label_cuts_in_two_goes_as_well():
    labelled = TextMatch(Kind.ACCOUNT, tuple(range(6)), Sureness.LABELLED)
    shape = TextMatch(Kind.SSN, tuple(range(3, 12)), Sureness.SHAPE)
    bare = TextMatch(Kind.SSN, tuple(range(11, 20)), Sureness.BARE_RUN)
    first, second = decide([bare, shape, labelled], EVERY_KIND)
    assert first == labelled
    assert second.digits == tuple(range(6, 12))

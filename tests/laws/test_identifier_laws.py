"""Laws of the number finder, over texts and pages that nobody thought of."""

import sys
import unicodedata
from pathlib import Path

from hypothesis import example, given, settings
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).parents[1] / "identifiers"))

from drawn_sheet import DrawnSheet

from packets.base.secret import Secret
from packets.identifiers.digits import fold
from packets.identifiers.find import find_in_text
from packets.identifiers.kinds import ALL_KINDS, Kind, KnownNumber, MaskPolicy
from packets.identifiers.masked import hidden_positions
from packets.identifiers.payload import payload_kind

EVERY_KIND = MaskPolicy(kinds=ALL_KINDS)
NINE = st.sampled_from(["000123456", "666123457", "900700001", "987654320", "000000000"])
ZEROS = sorted(chr(code) for code in range(0x110000) if unicodedata.decimal(chr(code), None) == 0)
"""The zero of every digit script; the other nine follow it (Unicode, section 4.6)."""
INVISIBLE = ["\u00ad", "\u200b", "\u200c", "\u200d", "\u200e", "\u200f", "\u2060", "\ufeff"]
BETWEEN = st.lists(
    st.sampled_from(
        [*INVISIBLE, " ", "-", "\u2013", "\u00a0", "\n", "\t", "/", "|", ".", "x", "_"]
    ),
    max_size=4,
).map("".join)
WORDS = [
    "SSN", "EIN", "TIN", "SSN or EIN", "Account number", "Acct #", "IP PIN", "PIN", "EFIN/PIN",
    "Card number", "Policy number", "Routing number", "Invoice no.", "Control number", "Phone",
    "Amount", "ZIP", "Social security", "Wages", "box", "X", "of", "Employer identification number",
]  # fmt: skip
NUMBERS = [
    "000-12-3456", "000123456", "000 12 3456", "07-0000017", "070000017", "0 0 0 1 2 3 4 5 6",
    "0088412073", "5520-00-418", "12345", "123456", "00071412345", "4111 1111 1111 1111",
    "84,200.00", "2025", "1", "12", "123", "1234", "12/31/2025", "62704-1234", "XXX-XX-3456",
    "XX-XXX0017", "XXXXX3456", "XXXX-X0-418", "X X X X X 3 4 5 6", "XXXXX", "***-**-3456", "X0418",
    "021000021",
]  # fmt: skip
MISREAD = "OOO-12-3456"
PIECES = st.one_of(st.sampled_from(WORDS), st.sampled_from(NUMBERS))
ENTRIES = st.tuples(
    st.sampled_from([*WORDS, "", ""]),
    st.sampled_from([" ", ": ", "\t", "\n", " (", ", "]),
    st.sampled_from([*NUMBERS, MISREAD, ""]),
    st.sampled_from(["  ", "\t", "\n", ", ", "; ", " of "]),
)
PRINTED = st.lists(ENTRIES, max_size=6).map(
    lambda entries: "".join(part for entry in entries for part in entry)
)
DIGITS_MOSTLY = st.text(st.sampled_from("0123456789 -X*.,$\n\tSN"), max_size=60)
TEXTS = st.one_of(PRINTED, DIGITS_MOSTLY, st.text(max_size=80))


@st.composite
def written(draw: st.DrawFn) -> tuple[str, str, list[int]]:
    """A nine-digit number in some script with anything between, where it stands, and its text."""
    digits = draw(NINE)
    zero = draw(st.sampled_from(ZEROS))
    text, places = draw(st.text(st.characters(exclude_categories=["Nd", "No", "Cs"]))), []
    for digit in digits:
        text += draw(BETWEEN) if places else ""
        places.append(len(text))
        text += chr(ord(zero) + int(digit)) if draw(st.booleans()) else digit
    return digits, text + draw(st.text(st.characters(exclude_categories=["Cs"]))), places


@given(written())
def test_a_known_number_is_found_in_every_writing_with_exactly_its_digits(case):
    digits, text, places = case
    known = (KnownNumber(Kind.SSN, Secret(digits)),)
    assert tuple(places) in [match.digits for match in find_in_text(text, known, EVERY_KIND)]


@given(TEXTS, st.booleans())
def test_matches_share_no_digit_and_lie_inside_the_text(text, with_known):
    known = (KnownNumber(Kind.SSN, Secret("000123456")),) if with_known else ()
    matches = find_in_text(text, known, EVERY_KIND)
    places = [place for match in matches for place in match.digits]
    assert len(places) == len(set(places))
    assert all(0 <= place < len(text) for place in places)
    assert all(match.digits == tuple(sorted(match.digits)) for match in matches)
    assert all(set(match.hidden) <= set(match.digits) for match in matches)


def masked(text, known=()):
    gone = {place for m in find_in_text(text, known, EVERY_KIND) for place in m.hidden}
    return "".join("X" if k in gone else char for k, char in enumerate(text))


@settings(derandomize=True, max_examples=400)
@given(TEXTS)
@example("SSN 000-12-3456 12345")
@example("Account number 0088412073 2025")
def test_masking_twice_changes_nothing(text):
    once = masked(text)
    assert find_in_text(once, (), EVERY_KIND) == (), once


@given(TEXTS)
def test_only_digits_and_letters_of_a_number_are_ever_hidden(text):
    for match in find_in_text(text, (), EVERY_KIND):
        assert all(fold(text[place]).text.isalnum() or text[place] == "|" for place in match.digits)
        assert len(match.hidden) == len(hidden_positions(match.kind, len(match.digits)))


@given(st.one_of(TEXTS, st.binary(max_size=60).map(lambda data: data.decode("latin-1"))))
def test_a_payload_is_judged_without_an_error(text):
    assert payload_kind(text, (), EVERY_KIND) in {None, *Kind}


@st.composite
def sheets(draw: st.DrawFn) -> DrawnSheet:
    """Labels and numbers in rows of a page, with narrow and wide gaps between."""
    sheet = DrawnSheet()
    y = 20.0
    for row in draw(st.lists(st.lists(PIECES, min_size=1, max_size=4), min_size=1, max_size=4)):
        x = draw(st.sampled_from([20.0, 60.0]))
        for text in row:
            size = draw(st.sampled_from([7.0, 10.0]))
            boxed = text.isdigit() and draw(st.booleans())
            sheet.text(x, y, text, size, 12.0 if boxed else 0.0)
            gaps = [20.0, 60.0] if boxed else [3.0, 8.0, 20.0, 60.0]
            x = sheet.runs[-1].x1[-1] + draw(st.sampled_from(gaps))
        y += draw(st.sampled_from([12.5, 16.0, 30.0]))
    return sheet


@settings(derandomize=True, max_examples=400)
@given(sheets())
def test_on_a_page_too_masking_twice_changes_nothing(sheet):
    assert sheet.masked().found() == []


@settings(derandomize=True)
@given(sheets(), st.integers(0, 5))
def test_the_order_of_drawing_changes_nothing(sheet, seed):
    assert sorted(sheet.found()) == sorted(sheet.in_disorder(seed).found())


@given(sheets())
def test_glyphs_of_a_page_belong_to_one_number_at_most(sheet):
    numbers = [n for match in sheet.matches() for digit in match.digits for n in digit]
    assert len(numbers) == len(set(numbers))
    assert all(0 <= number < sheet.count for number in numbers)

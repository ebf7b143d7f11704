"""Letters, consents, state returns and client papers; forms named in them decide nothing."""

import pytest
from drawn_pages import Draw, Words, body, letter, page_of, prose
from drawn_papers import DISCLOSE, PAPERS, STATES, USE
from reading_drawn import guess_of


@pytest.mark.parametrize(("category", "draw"), PAPERS.values(), ids=PAPERS)
def test_papers_are_known_by_their_headings_and_words(category: str, draw: Draw) -> None:
    guess = guess_of(draw)
    assert (guess.category, guess.sure) == (category, True), guess.words


@pytest.mark.parametrize("code", STATES)
def test_state_forms_are_known_with_their_state_and_year(code: str) -> None:
    category, draw = STATES[code]
    guess = guess_of(draw)
    assert (guess.category, guess.jurisdiction, guess.tax_year) == (category, code, 2025)
    assert guess.sure
    assert guess.to_be_filed == (category == "voucher-state")


def test_both_pages_of_a_state_form_have_one_title() -> None:
    titles = set()
    for page in (1, 2):
        draw = page_of(
            Words(f"2025 Ohio IT 1040 Individual Income Tax Return Page {page}", 60, 40, 12),
            Words("Schedule of Ohio Withholding", 60, 70, 9),
            *body(),
        )
        titles.add(guess_of(draw).title)
    assert titles == {"Ohio income tax return"}


def test_a_state_in_an_address_makes_no_state_return() -> None:
    guess = guess_of(letter("About your income tax return."))  # its head says Springfield, Illinois
    assert guess.jurisdiction == ""


def test_a_page_with_both_consents_is_unsure() -> None:
    guess = guess_of(page_of(*prose(DISCLOSE + " " + USE)))
    assert not guess.sure
    assert {guess.category, guess.contested} == {"consent-disclosure", "consent-use"}


def test_a_greeting_alone_is_an_unsure_letter() -> None:
    guess = guess_of(letter("Some words.", close=False))
    assert (guess.category, guess.sure) == ("letter", False)


@pytest.mark.parametrize(
    "text",
    [
        "We cannot say more about your receipt, passport or invoice at this time. ",
        "The consent to disclose was discussed; the engagement letter follows. ",
        "Virginia and California both tax this. ",
    ],
)
def test_words_in_prose_make_no_paper(text: str) -> None:
    assert guess_of(page_of(*prose(text * 8, first=60))).category is None

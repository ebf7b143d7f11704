"""Federal forms by their headings, official titles and running titles."""

import pytest
from drawn_pages import Draw, Words, body, form_front, form_later, page_of, prose
from reading_drawn import guess_of

from packets.intake.titles import KnownTitle, known_titles

FORMS = [form for form in known_titles().forms if form.heads]


def _names(form: KnownTitle) -> tuple[str, str, str]:
    """How the form prints its number, its title and its running title."""
    word, number = form.heads[0].split(" ", 1)
    number = number.upper()
    title = " ".join(part[0].upper() + part[1:] for part in form.names[0].split())
    if word == "form":
        return number, title, f"Form {number} (2025)"
    number, _, parent = number.partition(" (")
    parent = parent.rstrip(")").replace("FORM", "Form") or "Form 1040"
    return f"Schedule {number}", title, f"Schedule {number} ({parent}) 2025"


@pytest.mark.parametrize("form", FORMS, ids=lambda form: form.category)
def test_a_first_page_is_known_by_number_title_and_running_title(form: KnownTitle) -> None:
    number, title, running = _names(form)
    needs = [Words(form.needs[0].capitalize(), 40, 700)] if form.needs else []
    front = form_front(number, title, sequence=form.sequence, footer=running)

    def draw(canvas: object) -> None:
        front(canvas)  # type: ignore[arg-type]  # a canvas
        page_of(*needs)(canvas)  # type: ignore[arg-type]  # a canvas

    guess = guess_of(draw)
    assert (guess.category, guess.sure) == (form.category, True), guess.words
    assert guess.title == form.title
    assert guess.sequence == form.sequence
    assert guess.tax_year == (None if form.undated else 2025)
    assert guess.to_be_filed == form.category.startswith("voucher")


@pytest.mark.parametrize("form", FORMS, ids=lambda form: form.category)
def test_a_second_page_is_known_by_its_running_title_alone(form: KnownTitle) -> None:
    guess = guess_of(form_later(_names(form)[2], 2))
    only_instructions = form.instructions_from or form.needs
    assert guess.category == ("instructions" if only_instructions else form.category)
    assert guess.form_page == 2


@pytest.mark.parametrize("form", FORMS, ids=lambda form: form.category)
def test_a_mention_in_running_text_makes_no_form(form: KnownTitle) -> None:
    number, title, _ = _names(form)
    named = number if number.startswith("Schedule") else f"Form {number}"
    text = f"Attach {named}, {title}, if you must file it. See the instructions for {named} "
    guess = guess_of(page_of(*prose(text * 6, first=60)))
    assert guess.category != form.category


def test_a_voucher_in_another_layout_stays_a_voucher_and_is_unsure() -> None:
    guess = guess_of(form_front("1040-ES", "Estimated Tax Payment Voucher"))
    assert guess.category == "voucher-1040-es"
    assert guess.to_be_filed
    assert not guess.sure


def test_a_form_that_is_not_known_here_is_named_and_not_guessed_by_a_like_title() -> None:
    guess = guess_of(
        form_front("5330", "Additional Taxes on Certain Plans", footer="Form 5330 (2025)")
    )
    assert guess.category is None
    assert guess.other_form == "Form 5330"


def test_a_schedule_of_another_form_is_not_the_schedule_of_1040() -> None:
    guess = guess_of(
        page_of(
            Words("SCHEDULE D", 36, 46, 11),
            Words("(Form 1065)", 36, 58, 9),
            Words("Capital Gains and Losses", 200, 46, 14),
            *body(),
        )
    )
    assert guess.category is None


def test_two_papers_on_one_page_are_unsure_and_both_named() -> None:
    guess = guess_of(
        page_of(
            Words("Form W-2 Wage and Tax Statement 2025", 40, 46, 14),
            Words("Form 1099-R", 40, 400, 16),
            Words("Distributions From Pensions, Annuities, Retirement or", 140, 400, 13),
            *body(first=60, lines=15),
        )
    )
    assert not guess.sure
    assert {guess.category, guess.contested} == {"w-2", "1099-r"}


def test_several_1099_forms_on_one_page_are_a_consolidated_statement() -> None:
    heads = ("Form 1099-DIV", "Form 1099-INT", "Form 1099-B")
    words = [Words(head, 40 + 180 * place, 46, 14) for place, head in enumerate(heads)]
    assert guess_of(page_of(*words, *body())).category == "1099-consolidated"


def test_a_running_title_may_hold_a_name_and_a_number_and_neither_is_told() -> None:
    guess = guess_of(form_later("Form 1040 (2025) PAT & ROBIN SAMPLE 000-12-3456", 2))
    assert (guess.category, guess.form_page) == ("form-1040", 2)
    assert "3456" not in repr(guess)
    assert "SAMPLE" not in repr(guess)


def test_the_page_count_of_the_whole_file_is_not_taken_for_the_forms_page() -> None:
    front = form_front("8879", "IRS e-file Signature Authorization", footer="Form 8879 (2025)")

    def draw(canvas: object) -> None:
        front(canvas)  # type: ignore[arg-type]  # a canvas
        page_of(Words("Page 12", 300, 775))(canvas)  # type: ignore[arg-type]  # a canvas

    guess = guess_of(draw)
    assert (guess.category, guess.form_page) == ("form-8879", None)


def test_an_edition_date_is_not_the_tax_year() -> None:
    draw: Draw = page_of(
        Words("Form 8949 (Rev. January 2019)", 36, 48, 14),
        Words("Sales and Other Dispositions of Capital Assets", 250, 48, 14),
        Words("For calendar year 2025", 36, 90),
        *body(),
    )
    assert guess_of(draw).tax_year == 2025


def test_a_page_without_words_is_nothing() -> None:
    guess = guess_of(page_of())
    assert guess.category is None
    assert not guess.heading

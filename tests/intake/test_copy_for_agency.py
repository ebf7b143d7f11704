"""Copy A goes to the agency and is never cut; the other copies of a form are the client's."""

import pytest
from drawn_pages import Draw, Words, form_front, pdf_of
from reading_drawn import guess_in, guess_of, scanned

CENTER = ("Copy A", "For", "Internal Revenue", "Service Center")
STATEMENTS = {
    "w-2": ("W-2", "Wage and Tax Statement", ("Copy A\u2014For Social Security Administration.",)),
    "1099-int": ("1099-INT", "Interest Income", CENTER),
    "1098": ("1098", "Mortgage Interest Statement", CENTER),
}
OF_THE_CLIENT = [
    ("Copy B\u2014To Be Filed With Employee's FEDERAL Tax Return.",),
    ("Copy C\u2014For EMPLOYEE'S RECORDS",),
    ("Copy B", "For Recipient", "This is important tax information and is being furnished to",
     "the Internal Revenue Service. Its Service Center may ask for it."),
    ("Note: Copy A of this form is sent to the Internal Revenue Service Center.",),
    ("File Copy A with the Social Security Administration.",),
]  # fmt: skip


def copy_of(category: str, words: tuple[str, ...]) -> Draw:
    number, title, _ = STATEMENTS[category]
    front = form_front(number, title)

    def draw(canvas: object) -> None:
        front(canvas)  # type: ignore[arg-type]  # a canvas
        for at, text in enumerate(words):
            Words(text, 60, 640 + 16 * at, 11).draw(canvas)  # type: ignore[arg-type]  # a canvas

    return draw


@pytest.mark.parametrize("category", STATEMENTS)
def test_copy_a_is_to_be_filed(category: str) -> None:
    guess = guess_of(copy_of(category, STATEMENTS[category][2]))
    assert (guess.category, guess.to_be_filed) == (category, True)


def test_copy_a_is_known_on_a_scan() -> None:
    pdf = pdf_of(copy_of("1098", CENTER))
    assert guess_in(scanned(pdf), 0).to_be_filed


@pytest.mark.parametrize("words", OF_THE_CLIENT)
def test_another_copy_and_a_note_about_copy_a_are_not(words: tuple[str, ...]) -> None:
    assert not guess_of(copy_of("w-2", words)).to_be_filed


def test_a_form_that_has_no_copies_is_not() -> None:
    front = form_front("1040", "U.S. Individual Income Tax Return")

    def draw(canvas: object) -> None:
        front(canvas)  # type: ignore[arg-type]  # a canvas
        words = Words("Copy A For Internal Revenue Service Center", 60, 640, 11)
        words.draw(canvas)  # type: ignore[arg-type]  # a canvas

    assert not guess_of(draw).to_be_filed

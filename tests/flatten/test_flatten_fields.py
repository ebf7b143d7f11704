"""Form fields: what they look like is what stays, once, where it was."""

import io

import pikepdf
import pytest
from flatten_samples import (
    PLACE,
    add_field,
    as_bytes,
    dark_in,
    difference,
    look,
    nothing_interactive,
    picture,
    sheet,
    text_in,
    words,
)
from pikepdf import Array, Dictionary, Name, String

from packets.masking.flatten import flatten

MULTILINE, PASSWORD, COMB = 1 << 12, 1 << 13, 1 << 24
RADIO, PUSH_BUTTON, COMBO = 1 << 15, 1 << 16, 1 << 17


def test_a_value_without_an_appearance_is_drawn_once_in_its_place() -> None:
    document = sheet()
    add_field(document, "000-12-3456")
    flat = flatten(as_bytes(document)).pdf
    assert text_in(flat) == text_in(flat, PLACE) == "000-12-3456"
    assert nothing_interactive(flat)


def test_a_comb_gets_one_digit_in_each_cell() -> None:
    document = sheet()
    add_field(document, "000123456", Ff=COMB, MaxLen=9)
    flat = flatten(as_bytes(document)).pdf
    assert text_in(flat) == "000123456"
    x0, y0, x1, y1 = PLACE
    cell = (x1 - x0) / 9
    for at, digit in enumerate("000123456"):
        assert text_in(flat, (x0 + cell * at, y0, x0 + cell * (at + 1), y1)) == digit


def test_a_filled_form_looks_the_same_before_and_after() -> None:
    document = sheet(b"0.9 g 0 0 400 100 re f")
    add_field(document, "Pat Example", Rect=Array([20, 350, 180, 370]))
    add_field(document, "1,234", Rect=Array([20, 320, 180, 340]), Q=2)
    add_field(document, "centre", Rect=Array([20, 290, 180, 310]), Q=1)
    add_field(document, "000123456", Rect=Array([20, 260, 180, 280]), Ff=COMB, MaxLen=9)
    add_field(document, "typed", Rect=Array([20, 230, 180, 250]), DA=String("/Type 10 Tf 0 g"))
    add_field(document, "up", Rect=Array([220, 200, 240, 370]), MK=Dictionary(R=90))
    add_field(document, AP=Dictionary(N=words(document, b"as it is")))
    source = as_bytes(document)
    before, after = picture(source, forms=True), picture(flatten(source).pdf)
    empty = picture(as_bytes(sheet(b"0.9 g 0 0 400 100 re f")))
    assert difference(before, after) < difference(before, empty) / 10


@pytest.mark.parametrize("turn", [90, 180, 270])
def test_a_turned_page_keeps_its_fields_in_place(turn: int) -> None:
    document = sheet()
    add_field(document, "000-12-3456", MK=Dictionary(R=turn))
    document.pages[0].obj.Rotate = turn
    source = as_bytes(document)
    flat = flatten(source).pdf
    assert text_in(flat) == "000-12-3456"
    before, empty = picture(source, forms=True), picture(as_bytes(sheet()))
    assert difference(before, picture(flat)) < difference(before, empty) / 10


def test_what_a_field_shows_outweighs_its_value_and_is_noted() -> None:
    document = sheet()
    add_field(document, "000-12-3456", AP=Dictionary(N=words(document, b"shown")))
    done = flatten(as_bytes(document))
    assert text_in(done.pdf) == "shown"
    assert "Page 1: 1 fields show something else" in done.notes[0]
    assert "3456" not in str(done.notes)


def test_a_value_written_with_other_punctuation_is_no_difference() -> None:
    document = sheet()
    add_field(document, "1234", AP=Dictionary(N=words(document, b"1,234.00")))
    assert flatten(as_bytes(document)).notes == ()


def test_need_appearances_lets_the_value_win() -> None:
    document = sheet()
    add_field(document, "now", AP=Dictionary(N=words(document, b"then")))
    document.Root.AcroForm.NeedAppearances = True
    assert text_in(flatten(as_bytes(document)).pdf) == "now"


def test_a_value_behind_an_empty_appearance_is_drawn() -> None:
    document = sheet()
    add_field(document, "there", AP=Dictionary(N=words(document, b"")))
    done = flatten(as_bytes(document))
    assert text_in(done.pdf) == "there"
    assert "drawn anew" in done.notes[0]


def test_an_xfa_twin_goes_and_is_noted() -> None:
    document = sheet()
    add_field(document, "plain")
    document.Root.AcroForm.XFA = document.make_stream(b"<xdp>000-12-3456</xdp>")
    done = flatten(as_bytes(document))
    assert text_in(done.pdf) == "plain"
    assert "XFA" in done.notes[0]
    assert_nowhere(done.pdf, b"3456")


def assert_nowhere(pdf: bytes, text: bytes) -> None:
    with pikepdf.open(io.BytesIO(pdf)) as document:
        for item in document.objects:
            if isinstance(item, pikepdf.Stream):
                assert text not in item.read_bytes()
            assert text.decode() not in repr(item)


def test_several_lines_wrap_in_their_box() -> None:
    document = sheet()
    value = "first line of words that is too long for one line\nlast"
    add_field(document, value, Rect=Array([50, 250, 250, 330]), Ff=MULTILINE)
    assert text_in(flatten(as_bytes(document)).pdf) == "".join(value.split())


def test_inherited_values_of_a_field_with_several_widgets_are_drawn_on_each_page() -> None:
    document = sheet(pages=2)
    parent = document.make_indirect(
        Dictionary(FT=Name.Tx, T=String("top"), V=String("both"), DA=String("/Helv 12 Tf 0 g"))
    )
    for page in (1, 2):
        child = add_field(document, page=page, FT=None, T=None, DA=None, Parent=parent)
        parent.Kids = Array([*list(parent.get("/Kids", [])), child])
    document.Root.AcroForm.Fields = Array([parent])
    flat = flatten(as_bytes(document)).pdf
    assert [text_in(flat, page=page) for page in (0, 1)] == ["both", "both"]


def test_a_password_field_shows_stars_only() -> None:
    document = sheet()
    add_field(document, "000123456", Ff=PASSWORD)
    flat = flatten(as_bytes(document)).pdf
    assert set(text_in(flat)) == {"*"}
    assert_nowhere(flat, b"000123456")


def test_a_choice_shows_its_words_not_its_export_value() -> None:
    document = sheet()
    options = Array([Array([String("oh"), String("Ohio")]), Array([String("pa"), String("Penn")])])
    add_field(document, "oh", FT=Name.Ch, Ff=COMBO, Opt=options)
    assert text_in(flatten(as_bytes(document)).pdf) == "Ohio"


def test_a_list_shows_its_chosen_lines_and_that_is_noted() -> None:
    document = sheet()
    options = Array([String("one"), String("two"), String("three")])
    add_field(
        document,
        FT=Name.Ch,
        Opt=options,
        V=Array([String("one"), String("three")]),
        Rect=Array([50, 250, 250, 330]),
    )
    done = flatten(as_bytes(document))
    assert text_in(done.pdf) == "onethree"
    assert "chosen lines" in done.notes[0]


@pytest.mark.parametrize(("state", "dark"), [("/On", True), ("/Off", False), (None, True)])
@pytest.mark.parametrize("flags", [0, RADIO])
def test_a_box_keeps_the_state_that_it_shows(state: str | None, dark: bool, flags: int) -> None:
    document = sheet()
    looks = Dictionary(
        On=look(document, b"0 g 0 0 200 30 re f"), Off=look(document, b"1 g 0 0 200 30 re f")
    )
    keys = {"AS": Name(state)} if state else {}
    add_field(document, FT=Name.Btn, Ff=flags, V=Name.On, AP=Dictionary(N=looks), **keys)
    done = flatten(as_bytes(document))
    assert (dark_in(done.pdf, PLACE) > 1000) is dark
    assert bool(done.notes) is (state == "/Off")


def test_a_state_without_an_appearance_shows_nothing() -> None:
    document = sheet()
    looks = Dictionary(On=look(document, b"0 g 0 0 200 30 re f"))
    add_field(document, FT=Name.Btn, AS=Name.Off, AP=Dictionary(N=looks))
    assert dark_in(flatten(as_bytes(document)).pdf, PLACE) == 0


def test_a_ticked_box_without_an_appearance_gets_a_tick_of_the_symbol_font() -> None:
    document = sheet()
    add_field(
        document,
        FT=Name.Btn,
        V=Name.Yes,
        AS=Name.Yes,
        Rect=Array([50, 300, 70, 320]),
        MK=Dictionary(CA=String("4")),
    )
    flat = flatten(as_bytes(document)).pdf
    assert dark_in(flat, (50, 300, 70, 320)) > 20
    with pikepdf.open(io.BytesIO(flat)) as result:
        fonts = [
            font
            for form in result.pages[0].obj.Resources.XObject.values()
            for font in form.Resources.Font.values()
        ]
    assert fonts
    assert all("/Encoding" not in font for font in fonts)


def test_an_empty_signature_field_draws_no_mark() -> None:
    document = sheet()
    add_field(document, FT=Name.Sig)
    flat = flatten(as_bytes(document)).pdf
    assert picture(flat).getextrema() == (255, 255)


def test_a_signature_field_keeps_the_look_of_its_signature() -> None:
    document = sheet()
    add_field(
        document,
        FT=Name.Sig,
        V=Dictionary(Contents=String("x")),
        AP=Dictionary(N=words(document, b"Signed by Pat Example")),
    )
    assert text_in(flatten(as_bytes(document)).pdf) == "SignedbyPatExample"


def test_a_push_button_keeps_its_look() -> None:
    document = sheet()
    add_field(document, FT=Name.Btn, Ff=PUSH_BUTTON, AP=Dictionary(N=words(document, b"Press")))
    assert text_in(flatten(as_bytes(document)).pdf) == "Press"

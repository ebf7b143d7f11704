"""Names print in their own letters, never as boxes."""

from io import BytesIO

import pypdf
import pytest
from bound_samples import bind, numbered_pdf, one_part, shown, texts
from page_pixels import pixels_that_changed
from pypdf.generic import IndirectObject

from packets.assembly.assemble import assemble
from packets.assembly.lettering import Lettering
from packets.assembly.titles import plain_line

NAMES = [
    "Nguyễn Thị Ánh",
    "Иванов",
    "田中 太郎",
    "김민수",
    "Παπαδόπουλος",
    "כהן",
    "José Müller-Núñez",
]


@pytest.mark.parametrize("name", NAMES)
def test_the_household_is_printed_in_its_own_letters(name: str) -> None:
    packet = assemble(bind(one_part(numbered_pdf(1)), household=name))
    without = assemble(bind(one_part(numbered_pdf(1)), household="\u2003"))
    letters = set(name) - {" "}
    assert letters <= set(texts(packet)[0])
    assert pixels_that_changed(shown(without.pdf), shown(packet.pdf)) > 300


@pytest.mark.parametrize("name", ["محمد", "शर्मा", "สมชาย"])
def test_scripts_that_join_or_stack_letters_carry_their_spelling(name: str) -> None:
    unstamped = bind(one_part(numbered_pdf(1)), household=name, stamp_text="", page_numbers=False)
    packet = assemble(unstamped)
    contents = pypdf.PdfReader(BytesIO(packet.pdf)).pages[0].get_contents()
    assert contents is not None
    assert f"For {name}".encode("utf-16-be").hex().encode() in contents.get_data().lower()


def test_every_font_of_our_sheets_is_embedded() -> None:
    part = one_part(numbered_pdf(1), title="田中 Иванов")
    reader = pypdf.PdfReader(BytesIO(assemble(bind(part, household="Nguyễn")).pdf))
    checked = 0
    for page in reader.pages[:2]:
        fonts = _fonts(page["/Resources"], set())
        for font in fonts:
            font = font.get("/DescendantFonts", [font])[0].get_object()  # noqa: PLW2901 - same font
            assert {"/FontFile2", "/FontFile3"} & set(font["/FontDescriptor"])
            checked += 1
    assert checked >= 5


def _fonts(resources: object, seen: set[int]) -> list[pypdf.generic.DictionaryObject]:
    assert isinstance(resources, pypdf.generic.DictionaryObject)
    found = [each.get_object() for each in resources.get("/Font", {}).values()]
    for each in resources.get("/XObject", {}).values():
        assert isinstance(each, IndirectObject)
        if each.idnum not in seen:
            seen.add(each.idnum)
            form = each.get_object()
            found += _fonts(form["/Resources"], seen) if "/Resources" in form else []
    return found


def test_a_letter_that_no_font_has_is_spelt_as_its_code() -> None:
    packet = assemble(bind(one_part(numbered_pdf(1)), household="Ort \U0001f9fe"))
    assert "U+1F9FE" in texts(packet)[0]


def test_a_stamp_in_another_script_stands_on_every_page() -> None:
    packet = assemble(bind(one_part(numbered_pdf(2), (1, 2)), stamp_text="Копия клиента"))
    assert all("Копия клиента" in text and "Page " in text for text in texts(packet))


def test_one_text_is_set_once() -> None:
    lettering = Lettering()
    assert lettering.set_text("田中") is lettering.set_text("田中")
    assert len(lettering) == 1


@pytest.mark.parametrize(
    ("given", "kept"),
    [
        ("  two \n lines\t", "two lines"),
        ("abc\u202efdp.exe", "abcfdp.exe"),
        ("nul\x00l", "null"),
        ("Nguye\u0302\u0303n", "Nguyễn"),
        ("\u200b\u200d", "otherwise"),
        ("", "otherwise"),
        ("\ud800x", "x"),
    ],
)
def test_titles_become_one_plain_line(given: str, kept: str) -> None:
    assert plain_line(given, otherwise="otherwise") == kept


def test_long_titles_are_broken_and_complete() -> None:
    title = "Supporting statement " + "for-a-very-long-matter-" * 12 + "end"
    packet = assemble(bind(one_part(numbered_pdf(1), title=title), title="Long " * 24))
    joined = "".join(texts(packet)[0].split())
    assert title.replace(" ", "") in joined
    assert "Long" * 24 in joined


def test_empty_texts_still_give_a_named_packet() -> None:
    packet = assemble(
        bind(one_part(numbered_pdf(1), title=""), title=" ", household="", engagement_id="")
    )
    reader = pypdf.PdfReader(BytesIO(packet.pdf))
    assert reader.metadata is not None
    assert reader.metadata.title == "Tax documents 2025"
    assert "Untitled document" in texts(packet)[0]
    assert "For " not in texts(packet)[0].split("\n")[1]

"""Source pages for the screen: masked, what a person hid taken out, kept while their file stays."""

import pymupdf
import pytest
from office_folders import SMALL_SSN, put_pdf, text_pdf

from packets.base.progress import silent
from packets.review.addresses import letters_for
from packets.review.open_cases import Gone
from packets.review.pictures import Pictures, PictureShelf
from packets.review.shown_sources import MOST_CLIENTS, ShownSources
from packets.review.source_pages import MaskedPage, masked_source_pages

LETTER = "documents/letter/letter.pdf"
RETURN = "documents/form-1040/return.pdf"


def hidden(client, box, file=LETTER):
    path = client / "engagement.toml"
    entry = f'\n[[blank]]\nfile = "{file}"\npage = 1\nbox = {box}\nwhy = "a remark"\n'
    path.write_text(path.read_text(encoding="utf-8") + entry, encoding="utf-8")


def words_of(page):
    return Pictures(page.pdf, None).words(page.at)


def test_pages_are_masked_and_come_in_the_order_in_which_they_were_asked(client):
    first, second, letter = masked_source_pages(client, {RETURN: [2, 1], LETTER: [1]}, silent)
    assert [(one.file, one.page) for one in (first, second, letter)] == [
        (RETURN, 1),
        (RETURN, 2),
        (LETTER, 1),
    ]
    assert "XXX-XX-3456" in words_of(first)
    assert SMALL_SSN not in words_of(first)
    assert "Total tax" in words_of(second)


def test_a_number_that_another_file_names_is_masked_where_no_label_stands(client):
    put_pdf(client / "documents" / "letter" / "note.pdf", ["of 666123456 we know"])
    (page,) = masked_source_pages(client, {"documents/letter/note.pdf": [1]}, silent)
    assert "666123456" not in words_of(page)


def test_what_a_person_hid_is_hidden_here_too(client):
    hidden(client, [60, 60, 400, 95])
    (page,) = masked_source_pages(client, {LETTER: [1]}, silent)
    assert "Sincerely" in words_of(page)
    assert "Marsh" not in words_of(page)


def test_a_page_on_which_a_place_cuts_a_number_is_not_shown(client):
    """The last two digits go; the seven before them would be seen, and no rule knows them."""
    path = put_pdf(client / LETTER, ["Dear Ms Marsh,", "the part 666-41-7788 was ordered"])
    with pymupdf.open(path) as document:
        found = document[0].search_for("88 was")[0]
    hidden(client, [round(found.x0, 1), round(found.y0, 1), round(found.x1, 1), round(found.y1, 1)])
    (page,) = masked_source_pages(client, {LETTER: [1]}, silent)
    assert page.pdf == b""
    assert "part of a number" in page.why


def test_a_page_is_masked_anew_once_a_person_has_hidden_something(client, sources):
    (page,) = masked_source_pages(client, {LETTER: [1]}, silent)
    sources.keep("pell", client, [page])
    assert sources.find("pell", client, LETTER, 1) == page
    hidden(client, [60, 60, 400, 95])
    assert sources.find("pell", client, LETTER, 1) is None


def test_a_file_or_page_that_is_not_there_is_told(client):
    gone, *none = masked_source_pages(client, {"documents/none.pdf": [1], LETTER: [7]}, silent)
    assert (gone.pdf, none) == (b"", [])
    assert "not in documents/" in gone.why


@pytest.fixture
def sources():
    return ShownSources(PictureShelf())


def test_a_page_is_shown_only_while_its_file_is_the_one_that_was_masked(client, sources):
    page = MaskedPage(LETTER, 1, text_pdf(["masked"]), 1)
    sources.keep("client", client, [page])
    assert sources.find("client", client, LETTER, 1) is page
    assert sources.png("client", letters_for(LETTER), 1).startswith(b"\x89PNG")
    assert sources.size(page).width == 612
    assert sources.find("client", client, LETTER, 2) is None
    put_pdf(client / LETTER, ["another letter"])
    assert sources.find("client", client, LETTER, 1) is None


def test_pages_of_the_client_that_was_looked_at_longest_ago_are_let_go_first(client, sources):
    page = MaskedPage(LETTER, 1, text_pdf(["masked"]), 1)
    for number in range(MOST_CLIENTS + 1):
        sources.keep(f"client {number}", client, [page])
    with pytest.raises(Gone):
        sources.png("client 0", letters_for(LETTER), 1)
    assert sources.png(f"client {MOST_CLIENTS}", letters_for(LETTER), 1)


def test_what_cannot_be_shown_has_no_picture(client, sources):
    sources.keep("client", client, [MaskedPage(LETTER, 1, b"", 0, "a number was not read")])
    with pytest.raises(Gone):
        sources.png("client", letters_for(LETTER), 1)

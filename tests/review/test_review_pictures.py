"""Pictures of pages: drawn in memory, a bounded number kept, none after the packet was let go."""

import io

import pytest
from office_folders import text_pdf
from PIL import Image

from packets.base.errors import Damaged
from packets.review.pictures import Pictures, PictureShelf


def test_a_page_is_drawn_as_large_as_it_is_shown():
    pictures = Pictures(text_pdf(["first"], ["second"]), None)
    assert [(size.width, size.height) for size in pictures.sizes] == [(612, 792), (612, 792)]
    with Image.open(io.BytesIO(pictures.png(2))) as picture:
        assert picture.size == (1122, 1452)
    assert pictures.words(2) == "second"


@pytest.mark.parametrize("number", [-1, 0, 3, 10**9])
def test_a_page_that_is_not_there_is_refused(number):
    pictures = Pictures(text_pdf(["first"], ["second"]), None)
    with pytest.raises(IndexError):
        pictures.png(number)
    with pytest.raises(IndexError):
        pictures.words(number)


def test_what_is_no_document_is_refused():
    with pytest.raises(Damaged):
        Pictures(b"no document", None)


def test_nothing_is_drawn_of_a_packet_that_was_let_go():
    pictures = Pictures(text_pdf(["first"]), None)
    pictures.close()
    with pytest.raises(IndexError):
        pictures.png(1)


def test_a_picture_is_drawn_once_and_the_least_used_goes_first():
    drawn = []

    def draw(name):
        drawn.append(name)
        return name.encode() * 4

    shelf = PictureShelf(most=8)
    for name in ("a", "b", "a", "c", "a", "b"):
        shelf.get(name, lambda name=name: draw(name))
        assert shelf.bytes <= 8
    assert drawn == ["a", "b", "c", "b"]


def test_a_picture_larger_than_the_shelf_is_shown_all_the_same():
    shelf = PictureShelf(most=1)
    assert shelf.get("a", lambda: b"large") == b"large"

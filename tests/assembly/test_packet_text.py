"""Outside readers find the chosen pages in order, with their stamps."""

from io import BytesIO

import pytest
from bound_samples import bind, numbered_pdf, one_part, texts
from pdfminer.high_level import extract_text

from packets.assembly.assemble import assemble
from packets.assembly.records import BoundPages, BoundPart


def test_chosen_pages_come_in_the_order_asked_for() -> None:
    letters, forms = numbered_pdf(3, "letter"), numbered_pdf(4, "form")
    packet = assemble(
        bind(
            BoundPart("One", (BoundPages("a", letters, (3, 1)), BoundPages("b", forms, (2,)))),
            BoundPart("Two", (BoundPages("c", letters, (2,)), BoundPages("d", forms, (4, 2)))),
        )
    )
    read = texts(packet)
    words = ("letter 3", "letter 1", "form 2", "letter 2", "form 4", "form 2")
    numbers = [number for document in packet.page_of for number in document]
    assert packet.page_of == ((3, 4), (5,), (7,), (8, 9))
    assert all(word in read[at - 1] for word, at in zip(words, numbers, strict=True))
    assert packet.pages == len(read) == 9


@pytest.mark.parametrize("reader", ["pypdf", "pdfminer"])
def test_each_page_says_its_number_and_the_total(reader: str) -> None:
    packet = assemble(bind(one_part(numbered_pdf(12), tuple(range(1, 13)))))
    for number in range(1, packet.pages + 1):
        text = (
            texts(packet)[number - 1]
            if reader == "pypdf"
            else extract_text(BytesIO(packet.pdf), page_numbers=[number - 1])
        )
        assert f"Page {number} of 14" in " ".join(text.split())
        assert "Client copy" in text


def test_without_stamp_words_the_number_stands_alone() -> None:
    packet = assemble(bind(one_part(numbered_pdf(1)), stamp_text=""))
    assert texts(packet)[2].split("\n")[-1].strip() == "Page 3 of 3"


def test_without_any_stamp_a_page_keeps_its_own_content_stream() -> None:
    packet = assemble(
        bind(
            one_part(numbered_pdf(1)),
            stamp_text="",
            page_numbers=False,
            cover_sheet=False,
            dividers=False,
        )
    )
    assert texts(packet) == ["sheet 1"]


def test_part_ranges_begin_at_their_dividers() -> None:
    packet = assemble(bind(one_part(numbered_pdf(2), (1, 2)), one_part(numbered_pdf(3), (1, 2, 3))))
    assert [(part.first_page, part.pages) for part in packet.parts] == [(2, 3), (5, 4)]
    assert "Part 2 of 2" in texts(packet)[4]


def test_part_ranges_begin_at_their_pages_where_there_is_no_divider() -> None:
    packet = assemble(bind(one_part(numbered_pdf(2), (1, 2)), dividers=False))
    assert [(part.first_page, part.pages) for part in packet.parts] == [(2, 2)]


def test_the_same_page_may_be_bound_twice() -> None:
    packet = assemble(bind(one_part(numbered_pdf(2), (1, 1, 2, 1))))
    read = texts(packet)
    assert [("sheet 1" in text, "sheet 2" in text) for text in read[2:]] == [
        (True, False),
        (True, False),
        (False, True),
        (True, False),
    ]
    assert "Page 3 of 6" in read[2]
    assert "Page 6 of 6" in read[5]

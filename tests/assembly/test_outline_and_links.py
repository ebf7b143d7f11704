"""Bookmarks and links lead to the page whose number is printed beside them."""

import re
from io import BytesIO

import pypdf
from bound_samples import bind, numbered_pdf, one_part, page_pdf
from pypdf.generic import Destination

from packets.assembly.assemble import assemble
from packets.assembly.records import AssembledPacket, BoundPages, BoundPart


def _read(packet: AssembledPacket) -> pypdf.PdfReader:
    return pypdf.PdfReader(BytesIO(packet.pdf))


def _outline(reader: pypdf.PdfReader) -> list[tuple[int, str, int]]:
    """Depth, title and page number from 1."""
    found: list[tuple[int, str, int]] = []

    def walk(items: list[object], depth: int) -> None:
        for item in items:
            if isinstance(item, list):
                walk(item, depth + 1)
            elif isinstance(item, Destination):
                page = reader.get_destination_page_number(item)
                assert page is not None
                found.append((depth, str(item.title), page + 1))

    walk(list(reader.outline), 0)
    return found


def _links(reader: pypdf.PdfReader, page: int) -> list[int]:
    numbers = {p.indirect_reference.idnum: n for n, p in enumerate(reader.pages, 1)}  # type: ignore[union-attr]  # pages of a file always have references
    annotations = [each.get_object() for each in reader.pages[page - 1].get("/Annots", [])]
    assert all(
        set(each) == {"/Type", "/Subtype", "/Rect", "/Border", "/Dest"} for each in annotations
    )
    targets = [each["/Dest"][0].get_object().indirect_reference for each in annotations]
    return [numbers[target.idnum] for target in targets]


def test_the_outline_names_cover_parts_and_documents_with_their_pages() -> None:
    sheets = numbered_pdf(5)
    packet = assemble(
        bind(
            BoundPart(
                "Letters", (BoundPages("Letter", sheets, (1,)), BoundPages("Invoice", sheets, (2,)))
            ),
            BoundPart("Иванов", (BoundPages("Form 1040", sheets, (3, 4)),)),
        )
    )
    assert _outline(_read(packet)) == [
        (0, "Cover", 1),
        (0, "Letters", 2),
        (1, "Letter", 3),
        (1, "Invoice", 4),
        (0, "Иванов", 5),
        (1, "Form 1040", 6),
    ]


def test_contents_lines_link_to_the_pages_they_print() -> None:
    sheets = numbered_pdf(9)
    packet = assemble(
        bind(*(BoundPart(f"P{n}", (BoundPages(f"D{n}", sheets, (n, n + 1)),)) for n in range(1, 8)))
    )
    reader = _read(packet)
    printed = [
        int(number)
        for number in re.findall(r"^[PD]\d\D*(\d+)$", reader.pages[0].extract_text(), re.M)
    ]
    expected = [
        number for part in packet.parts for number in (part.first_page, part.first_page + 1)
    ]
    assert _links(reader, 1) == expected
    assert printed in ([], expected)


def test_divider_lists_link_to_their_documents() -> None:
    sheets = numbered_pdf(2)
    packet = assemble(
        bind(
            one_part(sheets),
            BoundPart("B", (BoundPages("x", sheets, (1, 2)), BoundPages("y", sheets, (2,)))),
        )
    )
    assert _links(_read(packet), 4) == [5, 7]


def test_a_link_leads_to_the_upper_left_corner_as_shown() -> None:
    turned = page_pdf(box=(10, 20, 622, 812), rotate=90)
    packet = assemble(bind(one_part(turned)))
    annotation = _read(packet).pages[0]["/Annots"][1].get_object()  # type: ignore[index]  # an array
    assert [float(each) for each in annotation["/Dest"][2:4]] == [10, 20]


def test_three_hundred_documents_are_all_listed_linked_and_bookmarked() -> None:
    sheets = numbered_pdf(1)
    packet = assemble(
        bind(
            *(
                BoundPart(
                    f"Part {p}",
                    tuple(BoundPages(f"Document {p}-{n:03}", sheets, (1,)) for n in range(100)),
                )
                for p in range(3)
            )
        )
    )
    reader = _read(packet)
    covers = packet.parts[0].first_page - 1
    text = "".join(reader.pages[n].extract_text() for n in range(covers))
    links = [page for n in range(1, covers + 1) for page in _links(reader, n)]
    assert covers > 4
    assert all(f"Document {p}-{n:03}" in text for p in range(3) for n in range(100))
    assert len(links) == 303
    assert sorted(links) == links
    assert [page for depth, _, page in _outline(reader) if depth == 1] == [
        pages[0] for pages in packet.page_of
    ]


def test_printed_numbers_are_the_viewers_numbers() -> None:
    packet = assemble(bind(one_part(numbered_pdf(3), (1, 2, 3))))
    assert _read(packet).page_labels == ["1", "2", "3", "4", "5"]

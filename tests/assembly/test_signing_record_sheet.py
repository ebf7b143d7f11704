"""The signing record behind the last part: on its own sheets, right about its pages."""

import hashlib
from io import BytesIO

import pytest
from bound_samples import bind, numbered_pdf, one_part
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from packets.assembly.assemble import assemble
from packets.assembly.records import AssembledPacket, RecordEntry

DIGEST = " ".join(hashlib.sha256(b"ink").hexdigest()[at : at + 8] for at in range(0, 64, 8))


def entry(pages: tuple[int, ...] = (0,), name: str = "Taxpayer: grant 2026-taxpayer-1"):
    facts = (
        ("Given", "2026-03-03 10:15:00-05:00, by signature pad"),
        ("Identity", "government photo ID seen"),
        ("Image", DIGEST),
    )
    return RecordEntry(name, facts, pages)


def texts(packet: AssembledPacket) -> list[str]:
    return [page.extract_text() for page in PdfReader(BytesIO(packet.pdf)).pages]


def assembled(*entries: RecordEntry, **changes: object) -> AssembledPacket:
    part = one_part(numbered_pdf(3), (1, 2, 3))
    return assemble(bind(part, part, record=entries, **changes))


def test_the_record_is_the_last_sheet_and_says_what_it_was_given() -> None:
    packet = assembled(entry((0, 4)))
    last = texts(packet)[-1]
    for words in ("Signing record", "grant 2026-taxpayer-1", "photo ID seen", DIGEST):
        assert words in last
    assert packet.pages == len(texts(packet))


@pytest.mark.parametrize("sheets", [True, False])
def test_the_pages_it_names_are_those_that_were_signed(sheets: bool) -> None:
    packet = assembled(entry((0, 4)), cover_sheet=sheets, dividers=sheets)
    flat = [number for pages in packet.page_of for number in pages]
    last = texts(packet)[-1]
    numbers = last.split("Stands on pages")[1].split()[:2]
    assert numbers == [str(flat[0]), str(flat[4])]
    shown = texts(packet)
    assert "sheet 1" in shown[flat[0] - 1]
    assert "sheet 2" in shown[flat[4] - 1]


def test_its_numbers_lead_to_the_pages() -> None:
    packet = assembled(entry((0, 4)))
    reader = PdfReader(BytesIO(packet.pdf))
    flat = [number for pages in packet.page_of for number in pages]
    links = [link.get_object() for link in reader.pages[-1]["/Annots"]]
    led = [reader.get_page_number(link["/Dest"][0].get_object()) + 1 for link in links]
    assert led == [flat[0], flat[4]]


def test_cover_and_outline_name_it() -> None:
    packet = assembled(entry())
    assert "Signing record" in texts(packet)[0]
    outline = PdfReader(BytesIO(packet.pdf)).outline
    assert [item.title for item in outline if not isinstance(item, list)][-1] == "Signing record"


def test_without_entries_there_is_no_sheet() -> None:
    assert assembled().pages == assembled(entry()).pages - 1
    assert "Signing record" not in "".join(texts(assembled()))


def test_what_is_filed_gets_no_record() -> None:
    packet = assembled(entry(), audience="agency", stamp_text="", page_numbers=False)
    assert packet.pages == 6


def test_names_in_another_script_stand_in_it() -> None:
    packet = assembled(entry(name="Spouse: Ольга Пример"))
    assert packet.pages == assembled(entry()).pages


@settings(deadline=None, max_examples=12)  # each example puts two packets together
@given(st.lists(st.integers(0, 5), max_size=40), st.integers(1, 9))
def test_a_long_record_goes_on_over_as_many_sheets_as_it_needs(
    pages: list[int], count: int
) -> None:
    entries = [entry(tuple(pages), f"Grant number {number}") for number in range(count)]
    packet = assembled(*entries)
    told = "".join(texts(packet)[-(packet.pages - assembled().pages) :])
    assert [told.count(f"Grant number {number}") for number in range(count)] == [1] * count


def test_the_same_record_gives_the_same_bytes() -> None:
    assert assembled(entry()).pdf == assembled(entry()).pdf

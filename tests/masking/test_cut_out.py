"""The second way: where a content stream does not say where its glyphs stand."""

import pytest
from masking_run import known_number, mask
from other_readers import all_digits, by_pdfium, by_pdfminer
from pixels import differs_outside, ink_box
from planted_fonts import ONE_BYTE_MAP, THREE_CODES, character_map, composite, simple
from planted_pages import NUMBER, STAYING, sheet

from packets.masking import mask_document as station
from packets.masking.in_place import InPlaceMasker

N = NUMBER.encode()
KNOWN = [known_number(NUMBER)]
CELLS = [(50, 88, 66.7, 104), (70, 88, 81.2, 104)]
"""The five digits in Helvetica at 10 points."""


def nobody_knows(_):
    """No widths, and no standard font by its name: readers fall back on a serif face."""
    return simple("Nobody-Knows")


def lines(*, leading: float) -> bytes:
    return b"\n".join(
        b"BT /F1 10 Tf 40 %f Td (line above and below: qpgy AVAIL [] words) Tj ET"
        % (300 + leading * k)
        for k in (-2, -1, 1, 2)
    )


def unknown_font_page(around: bytes = b"") -> bytes:
    content = around + b" BT /F2 10 Tf 50 300 Td (" + N + b") Tj ET"
    return sheet(content, fonts={"F2": nobody_knows})


@pytest.fixture
def no_widths(monkeypatch):
    monkeypatch.setattr(InPlaceMasker, "widths", lambda *_: None)


def known_font_page(around: bytes = b"") -> bytes:
    return sheet(around + b" BT /F1 10 Tf 50 300 Td (" + N + b") Tj ET")


@pytest.fixture
def cut(monkeypatch):
    """Notes which pages were cut; fails a test in which none was."""
    pages = []
    cut_out = station.cut_out

    def noting(pdf, wanted):
        pages.extend(wanted)
        return cut_out(pdf, wanted)

    monkeypatch.setattr(station, "cut_out", noting)
    yield pages
    assert pages


@pytest.mark.parametrize("leading", [6.0, 8.0, 12.0])
def test_lines_close_above_and_below_stay(cut, no_widths, leading):
    pdf = known_font_page(lines(leading=leading))
    result = mask(pdf, KNOWN)
    assert not result.unread
    assert differs_outside(pdf, result.pdf, CELLS) == 0
    assert by_pdfminer(result.pdf).count("line above and below: qpgy AVAIL [] words") == 4


def test_where_lines_lie_too_close_for_it_the_packet_is_held(cut, no_widths):
    result = mask(known_font_page(lines(leading=4.5)), KNOWN)
    assert any("could not be kept" in words for words in result.unread)


def test_the_number_is_gone_for_every_reader_and_its_mask_written(cut):
    result = mask(unknown_font_page())
    assert set(all_digits(result.pdf).values()) == {STAYING}
    assert "XXX-XX-4320" in by_pdfium(result.pdf).replace(" ", "").replace("\r\n", "")
    assert result.masks[0].shown == "XXX-XX-4320"
    box = ink_box(result.pdf, (49, 80, 66, 110))
    assert box is not None
    assert 5 < box[3] - box[1] < 9


def test_a_turned_page_keeps_its_mask_in_place(cut):
    upright, turned = (
        sheet(
            b"BT /F2 10 Tf 50 300 Td (" + N + b") Tj ET",
            fonts={"F2": nobody_knows},
            keys={"/Rotate": turn},
        )
        for turn in (0, 90)
    )
    before = ink_box(mask(upright).pdf, (40, 80, 120, 110))
    after = ink_box(mask(turned).pdf, (290, 40, 320, 120))
    assert before is not None
    assert after is not None
    assert abs((before[2] - before[0]) - (after[3] - after[1])) < 1


TURNED = {"upwards": "0 1 -1 0 100 100", "aslant": "0.866 0.5 -0.5 0.866 80 100"}


@pytest.mark.parametrize("way", TURNED)
def test_text_that_runs_another_way_is_cut_as_well(cut, way):
    """Aslant the engine takes the hyphens along: then the page is held besides."""
    content = b"BT /F2 10 Tf " + TURNED[way].encode() + b" Tm (" + N + b") Tj ET"
    result = mask(sheet(content, fonts={"F2": nobody_knows}))
    assert bool(result.unread) is (way == "aslant")
    assert {"".join(sorted(digits)) for digits in all_digits(result.pdf).values()} == {"0234"}


def test_pictures_and_drawings_under_the_number_stay(cut, no_widths):
    image = b" q 120 0 0 30 40 290 cm BI /W 4 /H 1 /BPC 8 /CS /G ID \xd0\xe0\xd0\xe0 EI Q "
    pdf = known_font_page(image + b"1 0 0 RG 40 303 m 200 303 l S")
    result = mask(pdf)
    assert differs_outside(pdf, result.pdf, CELLS) == 0


def test_only_pages_that_need_it_are_cut(cut):
    import io

    import pikepdf

    with (
        pikepdf.open(io.BytesIO(unknown_font_page())) as first,
        pikepdf.open(io.BytesIO(sheet(b"BT /F1 10 Tf 50 300 Td (" + N + b") Tj ET"))) as second,
    ):
        first.pages.append(second.pages[0])
        out = io.BytesIO()
        first.save(out)
    result = mask(out.getvalue())
    assert len(result.masks) == 2
    assert cut == [0]


def test_an_embedded_map_as_encoding_is_cut(cut):
    font = {"F2": lambda d: composite(d, character_map(d, ONE_BYTE_MAP))}
    content = b"BT /F2 12 Tf 50 300 Td <" + THREE_CODES.hex().encode() + b"> Tj ET"
    pdf = sheet(content, fonts=font)
    saw = {name for name, digits in all_digits(pdf).items() if digits == "987654320"}
    assert saw
    after = all_digits(mask(pdf).pdf)
    assert {after[name] for name in saw} == {STAYING}


def test_what_cannot_be_cut_is_reported_and_not_passed_over(monkeypatch):
    monkeypatch.setattr(station, "cut_out", lambda pdf, _: pdf)
    result = mask(unknown_font_page())
    assert any("page 1" in words for words in result.unread)
    assert not any(digit in words for words in result.unread for digit in "98765")

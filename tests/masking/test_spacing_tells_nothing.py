"""Places of what stays must not tell what went.

Source of the attack: Bland, Iyer, Levchenko, "Story Beyond the Eye: Glyph
Positions Break PDF Text Redaction", PoPETs 2023. The test is the strongest there
is: documents that differ only in the digits that go are the same bytes masked.
"""

import io
from itertools import pairwise

import pikepdf
import pypdfium2
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pikepdf import Array, Dictionary, Name

from packets.identifiers.kinds import ALL_KINDS, Kind, KnownNumber, MaskPolicy
from packets.masking.mask_document import MaskOrder, mask_document
from packets.masking.survey import survey_document
from packets.reading.engine import quiet_engine
from packets.reading.ocr import OcrReader

WIDTHS = {
    "0": 560, "1": 340, "2": 505, "3": 520, "4": 575, "5": 515, "6": 550, "7": 470, "8": 565,
    "9": 548, "-": 330, " ": 260, ":": 250,
}  # fmt: skip
"""A face with figures of their own widths, in thousandths."""
STAYS = "4320"
LABEL = "SSN: "


def width(text: str) -> float:
    return sum(WIDTHS.get(char, 500) for char in text) / 100  # 10 points


def kern(one: str, other: str) -> int:
    """Every pair of a digit that goes is kerned by its own amount."""
    return (ord(one) * 7 + ord(other) * 13) % 41 - 20


def masked(content: str) -> bytes:
    quiet_engine()
    pdf = page(content)
    survey = survey_document(pdf, OcrReader())
    known = tuple(
        KnownNumber(Kind.SSN, number.digits) for one in survey.pages for number in one.seen
    )
    result = mask_document(
        MaskOrder(pdf, survey, (0,), known, MaskPolicy(kinds=ALL_KINDS)), OcrReader()
    )
    assert not result.unread
    assert len(result.masks) >= 1
    return result.pdf


def page(content: str) -> bytes:
    document = pikepdf.new()
    document.add_blank_page(page_size=(400, 400))
    font = Dictionary(
        Type=Name.Font, Subtype=Name.Type1, BaseFont=Name("/OldStyle-Figures"),
        FontDescriptor=descriptor(document),
        Encoding=Name.WinAnsiEncoding, FirstChar=32, LastChar=126,
        Widths=Array([WIDTHS.get(chr(code), 500) for code in range(32, 127)]),
    )  # fmt: skip
    only = document.pages[0].obj
    only.Resources = Dictionary(Font=Dictionary(F1=document.make_indirect(font)))
    only.Contents = document.make_stream(f"BT /F1 10 Tf {content} ET".encode())
    out = io.BytesIO()
    document.save(out, deterministic_id=True)
    return out.getvalue()


def descriptor(document: pikepdf.Pdf) -> pikepdf.Object:
    return document.make_indirect(
        Dictionary(
            Type=Name.FontDescriptor, FontName=Name("/OldStyle-Figures"), Flags=34,
            FontBBox=Array([0, -200, 700, 900]), ItalicAngle=0, Ascent=900, Descent=-200,
            CapHeight=700, StemV=80,
        )
    )  # fmt: skip


def written(five: str) -> str:
    return f"{five[:3]}-{five[3:]}-{STAYS}"


def in_one_string(five: str) -> str:
    return f"50 300 Td ({LABEL}{written(five)} of the taxpayer) Tj 0 -14 Td (below) Tj"


def kerned(five: str) -> str:
    text = LABEL + written(five) + " follows"
    items = [
        f"({a}){kern(a, b)}" if a.isdigit() or b.isdigit() else f"({a})" for a, b in pairwise(text)
    ]
    return f"50 300 Td [{''.join(items)}({text[-1]})] TJ 0 -14 Td (below) Tj"


def word_by_word(five: str) -> str:
    """As a typesetter places words: each behind the one before it."""
    words, steps, before = [LABEL.strip(), written(five), "and", "more"], [], 0.0
    for word in words:
        steps.append(f"{before:.3f} 0 Td ({word}) Tj")
        before = width(word + " ")
    return (
        "50 300 Td " + " ".join(steps) + f" {-width(' '.join(words[:3]) + ' '):.3f} -20 Td (x) Tj"
    )


def glyph_by_glyph(five: str) -> str:
    shown, at = [], 50.0
    for char in LABEL + written(five) + " end":
        shown.append(f"1 0 0 1 {at:.3f} 300 Tm ({char}) Tj")
        at += width(char)
    return " ".join(shown)


def lined_up_by_its_end(five: str) -> str:
    amounts = "".join(
        f"1 0 0 1 {200 - width(text):.3f} {280 - 14 * row} Tm ({text}) Tj "
        for row, text in enumerate(["12.00", "7.50", "1,250.00"])
    )
    return f"{amounts} 1 0 0 1 {200 - width(written(five)):.3f} 300 Tm ({written(five)}) Tj"


def in_the_middle_of_boxes(five: str) -> str:
    return " ".join(
        f"1 0 0 1 {50 + 18 * box + (18 - width(digit)) / 2:.3f} 300 Tm ({digit}) Tj"
        for box, digit in enumerate(five + STAYS)
    )


def upright(five: str) -> str:
    return f"0 1 -1 0 200 50 Tm ({LABEL}{written(five)} upward) Tj 0 -14 Td (below) Tj"


def twice_in_a_line(five: str) -> str:
    return f"50 300 Td ({LABEL}{written(five)} and {written(five)} again) Tj"


def on_the_next_line_by_quote(five: str) -> str:
    return f"14 TL 50 300 Td (above) Tj ({LABEL}{written(five)} it) ' 3 0.5 (next) \""


SETTINGS = [
    in_one_string, kerned, word_by_word, glyph_by_glyph, lined_up_by_its_end,
    in_the_middle_of_boxes, upright, twice_in_a_line, on_the_next_line_by_quote,
]  # fmt: skip


@pytest.mark.parametrize("setting", SETTINGS)
@given(five=st.text("0123456789", min_size=2, max_size=2))
@settings(max_examples=8, deadline=None)
def test_masked_documents_are_the_same_whatever_went(setting, five):
    assert masked(setting("666" + five)) == masked(setting("66688"))


@pytest.mark.parametrize("setting", SETTINGS)
@given(five=st.text("0123456789", min_size=3, max_size=3))
@settings(max_examples=8, deadline=None)
def test_a_narrow_or_wide_number_leaves_one_picture(setting, five):
    assert masked(setting(five + "00")) == masked(setting("18600"))


@pytest.mark.parametrize("setting", SETTINGS)
def test_what_stays_is_still_read_by_others(setting):
    before, after = page(setting("90011")), masked(setting("90011"))
    assert shown_in(after) == shown_in(before).replace("90011", "XXXXX")


def shown_in(pdf: bytes) -> str:
    """What a reader sees, without what it makes of the room between."""
    with pypdfium2.PdfDocument(pdf) as document:
        text = document[0].get_textpage().get_text_range()
    return "".join(char for char in text if not char.isspace() and char != "-")


def test_text_on_other_lines_stays_where_it_was():
    before, after = page(in_one_string("90011")), masked(in_one_string("90011"))
    assert places_of("below", after) == pytest.approx(places_of("below", before), abs=0.001)


def places_of(word: str, pdf: bytes) -> list[float]:
    with pypdfium2.PdfDocument(pdf) as document:
        text = document[0].get_textpage()
        start = text.get_text_range().index(word)
        return [edge for k in range(start, start + len(word)) for edge in text.get_charbox(k)]


def test_figures_of_one_width_move_nothing():
    plain = f"50 300 Td ({LABEL}900-12-{STAYS} of the taxpayer) Tj"
    even = dict.fromkeys("0123456789", 556)
    saved = dict(WIDTHS)
    WIDTHS.update(even)
    try:
        before, after = page(plain), masked(plain)
        assert places_of("taxpayer", after) == pytest.approx(
            places_of("taxpayer", before), abs=1e-3
        )
        assert places_of(STAYS, after) == pytest.approx(places_of(STAYS, before), abs=1e-3)
    finally:
        WIDTHS.update(saved)

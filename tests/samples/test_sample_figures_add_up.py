"""The amounts agree from paper to paper, read from the papers themselves."""

import io
import re
from functools import cache
from pathlib import Path

import pytest
from pdfminer.high_level import extract_pages
from pdfminer.layout import LAParams, LTChar, LTContainer, LTItem
from pypdf import PdfReader, PdfWriter
from sample_scan import ROOT, printed_words

JOINT = ROOT / "joint-return" / "documents"
SINGLE = ROOT / "single-filer" / "documents"
Pages = tuple[Path, tuple[int, ...]]
JOINT_1040: Pages = (JOINT / "2025-tax-return.pdf", (3, 4))
JOINT_8879: Pages = (JOINT / "2025-tax-return.pdf", (1,))
SINGLE_1040: Pages = (SINGLE / "2025-tax-return.pdf", (1, 2))
SINGLE_8879: Pages = (SINGLE / "form-8879.pdf", (1,))


def characters(item: LTItem) -> list[LTChar]:
    if isinstance(item, LTChar):
        return [item]
    return [c for part in item for c in characters(part)] if isinstance(item, LTContainer) else []


@cache
def lines_of(path: Path, pages: tuple[int, ...]) -> dict[str, int]:
    """Amounts by line number: what stands in the field right of each numbered cell."""
    found: dict[str, int] = {}
    layout = LAParams(boxes_flow=None)
    drawn = extract_pages(path, page_numbers=[n - 1 for n in pages], laparams=layout)
    reader = PdfReader(path)
    for number, page in zip(pages, drawn, strict=True):
        letters = characters(page)
        for reference in reader.pages[number - 1].get("/Annots", []):
            widget = reference.get_object()
            value = str(widget.get("/V", "")).replace(",", "")
            left, bottom, _, top = (float(v) for v in widget["/Rect"])
            if widget.get("/MaxLen") or not re.fullmatch(r"\d+", value):
                continue
            inside = [
                c
                for c in letters
                if left - 26 < (c.x0 + c.x1) / 2 < left and bottom - 1 < (c.y0 + c.y1) / 2 < top + 2
            ]
            label = "".join(c.get_text() for c in sorted(inside, key=lambda c: c.x0)).strip()
            if label:
                found[label] = int(value)
    return found


@cache
def page_words(path: Path, page: int) -> str:
    """What is printed on one page."""
    writer = PdfWriter()
    writer.add_page(PdfReader(path).pages[page - 1])
    out = io.BytesIO()
    writer.write(out)
    return printed_words(out.getvalue())


def amounts_in(words: str) -> set[str]:
    return set(
        re.findall(r"(?<![\d,])\d{1,3}(?:,\d{3})+|(?<![\d,.])\d+(?:\.\d\d)?(?![\d,.])", words)
    )


@pytest.mark.parametrize("return_", [JOINT_1040, SINGLE_1040], ids=["joint", "single"])
def test_the_lines_of_form_1040_follow_from_each_other(
    return_: Pages,
) -> None:
    line = lines_of(*return_)

    def of(*names: str) -> int:
        return sum(line.get(name, 0) for name in names)

    assert line["9"] == of("1z", "2b", "3b", "8")
    assert line["11a"] == line["11b"] == line["9"] - of("10")
    assert line["14"] == of("12e", "13a", "13b")
    assert line["15"] == line["11b"] - line["14"]
    assert line["22"] == line["18"] - of("21")
    assert line["24"] == of("22", "23")
    assert line["33"] == of("25d", "26", "32")
    assert of("34") - of("37") == line["33"] - line["24"]


def test_the_joint_return_comes_to_the_figures_worked_out_by_hand() -> None:
    line = lines_of(*JOINT_1040)
    # 71,486 + 18,240 wages; 1,284 + 312 interest; 1,912 dividends; 22,628 profit;
    # half of the self-employment tax and 640 of student loan interest off.
    assert (line["1a"], line["2b"], line["3b"], line["8"]) == (89_726, 1_596, 1_912, 22_628)
    assert (line["10"], line["11a"]) == (1_599 + 640, 113_623)
    # 113,623 - 31,500 - 4,206; of the rest 1,540 is taxed at 0%, 76,377 by the table:
    # 2,385 + 12% of (76,375 - 23,850) = 8,688.
    assert (line["15"], line["16"]) == (77_917, 8_688)
    # Two children at 2,200; 22,628 x 0.9235 = 20,897, of that 12.4% and 2.9%.
    assert (line["19"], line["23"]) == (4_400, 2_591 + 606)
    assert (line["24"], line["33"], line["37"]) == (7_485, 5_140 + 912 + 1_200, 233)


def test_the_single_return_comes_to_the_figures_worked_out_by_hand() -> None:
    line = lines_of(*SINGLE_1040)
    # 41,870.50 - 1,200 wages; 40,671 - 15,750; 1,192.50 + 12% of (24,925 - 11,925) rounded.
    assert (line["1a"], line["15"], line["16"]) == (40_671, 24_921, 2_753)
    assert (line["25d"], line["34"], line["35a"]) == (3_312, 559, 559)


@pytest.mark.parametrize(
    ("authorization", "return_"),
    [(JOINT_8879, JOINT_1040), (SINGLE_8879, SINGLE_1040)],
    ids=["joint", "single"],
)
def test_form_8879_authorizes_the_amounts_of_the_return(
    authorization: Pages, return_: Pages
) -> None:
    part_one, line = lines_of(*authorization), lines_of(*return_)
    pairs = (("1", "11a"), ("2", "24"), ("3", "25d"), ("4", "35a"), ("5", "37"))
    for authorized, printed in pairs:
        assert part_one.get(authorized, 0) == line.get(printed, 0)


@pytest.mark.parametrize(
    ("page", "lines"),
    [
        (2, ["37"]),  # Form 1040-V
        (5, ["8"]),  # Schedule 1, Part I
        (6, ["10"]),  # Schedule 1, Part II
        (7, ["23"]),  # Schedule 2
        (8, ["23"]),
        (9, ["2b", "3b"]),  # Schedule B
        (10, ["8"]),  # Schedule C
        (12, ["8", "23"]),  # Schedule SE
        (13, ["11a", "19"]),  # Schedule 8812
        (14, ["13a"]),  # Form 8995
        (17, ["15", "16"]),  # worksheet for line 16
        (18, ["9", "11a", "15", "16", "24", "33", "37"]),  # summary
        (19, ["11a"]),  # state return
    ],
)
def test_each_schedule_shows_the_amounts_that_it_hands_to_form_1040(
    page: int, lines: list[str]
) -> None:
    carried = {f"{lines_of(*JOINT_1040)[number]:,}" for number in lines}
    assert carried <= amounts_in(page_words(JOINT / "2025-tax-return.pdf", page))


def test_the_payers_papers_show_what_the_return_reports() -> None:
    surveyor = printed_words((JOINT / "w-2" / "aldertree-surveying.pdf").read_bytes())
    boxes = ("71486.00", "5140.18", "75086.00", "4655.33", "1088.75", "3600.00")
    assert all(amount in surveyor for amount in boxes)
    interest = printed_words((JOINT / "1099-int.pdf").read_bytes())
    assert "1,284.07" in interest
    assert "311.60" in interest
    dividends = printed_words((JOINT / "1099-div.pdf").read_bytes())
    assert "1,912.36" in dividends
    assert "1,540.10" in dividends
    bakery = printed_words((SINGLE / "w-2" / "three-gables-bakery.pdf").read_bytes())
    assert "40670.50" in bakery
    assert "3312.40" in bakery


def test_the_letter_names_the_balance_of_both_returns() -> None:
    words = printed_words((JOINT / "letter.pdf").read_bytes())
    assert "$113,623" in words
    assert "$233" in words
    assert "$475" in words


def test_the_state_return_comes_to_the_figures_worked_out_by_hand() -> None:
    words = page_words(JOINT / "2025-tax-return.pdf", 19)
    # 113,623 - 22,628 business income; four exemptions of 1,900;
    # 342 + 2.75% of (83,395 - 26,050) = 1,919; 5% of it for two earners.
    assert {"90,995", "7,600", "83,395", "1,919", "96", "1,823"} <= amounts_in(words)
    refund = page_words(JOINT / "2025-tax-return.pdf", 20)
    assert {"2,298", "475"} <= amounts_in(refund)

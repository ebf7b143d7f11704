"""What a person calls no number stays masked where the folder says otherwise, in any form."""

import dataclasses
import hashlib
from pathlib import Path

import pymupdf
import pytest
from office_folders import put_pdf, small_client, text_pdf
from region_pages import canvas_pdf, turned
from reportlab.pdfgen.canvas import Canvas

from packets.base.geometry import Box
from packets.base.secret import Secret
from packets.handover.exceptions import Excepted, exceptions
from packets.handover.labels_beside import labels_beside
from packets.handover.masked_elsewhere import masked_endings
from packets.handover.standing_elsewhere import stands_elsewhere
from packets.identifiers.records import Sureness
from packets.intake.page_corrections import Region
from packets.masking.picture_survey import PictureSurvey
from packets.masking.survey import Survey, survey_document
from packets.pipeline import build
from packets.pipeline_records import BuildReport, BuildRequest
from packets.reading.ocr import OcrReader
from packets.reading.records import Barcode, PictureText

LETTER = "documents/letter/letter.pdf"
PART, OTHER = "666-41-7788", "666-41-7799"
DIGITS = PART.replace("-", "")
LINES = ["Dear Ms Marsh,", f"the spare part {PART} was ordered", "Sincerely"]
PAGE = Box(0, 0, 612, 792)


def place(pdf: bytes) -> Box:
    with pymupdf.open(stream=pdf) as document:
        found = document[0].search_for(PART)[0]
    return Box(found.x0 - 1, found.y0 - 1, found.x1 + 1, found.y1 + 1)


def built(client: Path, box: Box) -> BuildReport:
    path = client / LETTER
    with (client / "engagement.toml").open("a") as file:
        file.write(
            f'[[not_a_number]]\nfile = "{LETTER}"\npage = 1\nbox = {[*box.rounded()]}\n'
            f'why = "a part"\nsha256 = "{hashlib.sha256(path.read_bytes()).hexdigest()}"\n'
        )
    return build(BuildRequest(client, "client-copy"))


def test_nine_bare_digits_in_another_document_keep_the_number_masked(tmp_path: Path) -> None:
    client = small_client(tmp_path / "client")
    letter = put_pdf(client / LETTER, LINES)
    put_pdf(client / "documents/letter/second.pdf", ["Dear Ms Marsh,", f"code {DIGITS} it is"])
    report = built(client, place(letter.read_bytes()))
    assert ["known from elsewhere" in reason for reason in report.held] == [True]


def test_a_number_whose_last_four_stand_behind_a_mask_stays_masked(tmp_path: Path) -> None:
    client = small_client(tmp_path / "client")
    letter = put_pdf(client / LETTER, LINES)
    put_pdf(client / "documents/letter/second.pdf", ["Dear Ms Marsh,", "employee XXX-XX-7788"])
    report = built(client, place(letter.read_bytes()))
    assert ["a masked number in this folder ends so" in one for one in report.held] == [True]


def test_a_mask_of_another_number_counts_for_nothing(survey: Survey) -> None:
    lines = ["SSN XXX-XX-3456", "PIN XXXXX", "account ***** 8812", "XL 7788", "code 7788"]
    assert masked_endings(text_pdf(lines), survey) == {"3456", "8812"}


def test_one_place_does_not_let_several_numbers_through(tmp_path: Path) -> None:
    client = small_client(tmp_path / "client")
    put_pdf(client / LETTER, [*LINES, f"and a second one {OTHER}"])
    report = built(client, PAGE)
    assert ["several numbers stand here" in reason for reason in report.held] == [True]


@pytest.mark.parametrize(
    "line", [f"{PART} is your social security number", f"{PART}   TIN of the spouse"]
)
def test_a_label_behind_the_number_keeps_it_masked(tmp_path: Path, line: str) -> None:
    client = small_client(tmp_path / "client")
    letter = put_pdf(client / LETTER, ["Dear Ms Marsh,", line, "Sincerely"])
    report = built(client, place(letter.read_bytes()))
    assert ["a label stands beside this number" in one for one in report.held] == [True]


@pytest.mark.parametrize("degrees", [0, 90, 180, 270])
def test_the_line_of_a_number_is_found_however_the_page_is_turned(degrees: int) -> None:
    def words(canvas: Canvas) -> None:
        canvas.drawString(72, 700, "Social security number")
        canvas.drawString(72, 600, f"the part {PART} was ordered")
        canvas.drawString(72, 500, f"{OTHER} is the social security number")

    pdf = turned(canvas_pdf(words), degrees)
    with OcrReader() as ocr:
        seen = survey_document(pdf, ocr).pages[0].seen
    excepted = [Excepted(1, one.place, one.digits, "why") for one in seen]
    (labelled,) = labels_beside(pdf, excepted)
    assert labelled.digits.reveal() == OTHER.replace("-", "")


@pytest.fixture(scope="module")
def survey() -> Survey:
    with OcrReader() as ocr:
        return survey_document(text_pdf(LINES), ocr)


def test_a_label_that_a_region_has_taken_out_counts(survey: Survey) -> None:
    """The number is shape alone afterwards; before, a label named it at this very place."""
    (number,) = survey.pages[0].seen
    labelled = dataclasses.replace(number, sureness=Sureness.LABELLED)
    before = dataclasses.replace(
        survey, pages=(dataclasses.replace(survey.pages[0], seen=(labelled,)),)
    )
    regions = {0: [Region(1, PAGE, "a part")]}
    assert exceptions({0: survey}, regions, (), {0: survey}).refused == ()
    ((_, words),) = exceptions({0: survey}, regions, (), {0: before}).refused
    assert "known from elsewhere" in words


def test_a_barcode_that_holds_the_digits_counts(survey: Survey) -> None:
    nothing = PictureText((), 0, 10, 10, 0.0)
    corners = ((0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0))
    code = Barcode("PDF417", Secret(f"T1040 {PART} MARSH"), corners)
    picture = PictureSurvey((), (0,), (10, 10), nothing, (code,))
    coded = dataclasses.replace(survey, pictures=(picture,))
    assert not stands_elsewhere(DIGITS, [(survey, [1])])
    assert stands_elsewhere(DIGITS, [(survey, [])])
    assert stands_elsewhere(DIGITS, [(coded, [1])])

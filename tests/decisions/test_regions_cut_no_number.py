"""A region that hides a part of a number hides its rest from the rules: the packet is held."""

import hashlib
import io
from pathlib import Path

import pymupdf
import pytest
from office_folders import put_pdf, small_client
from PIL import Image, ImageDraw, ImageFont
from region_pages import as_shown, canvas_pdf, turned
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from packets.base.geometry import Box
from packets.handover.blanked_regions import blank_regions
from packets.handover.cut_numbers import CUT, Sight, cut_numbers
from packets.identifiers.kinds import ALL_KINDS, MaskPolicy
from packets.intake.page_corrections import Region
from packets.masking.survey import survey_document
from packets.pipeline import build
from packets.pipeline_records import BuildReport, BuildRequest
from packets.reading.ocr import OcrReader

LETTER = "documents/letter/letter.pdf"
NUMBER = "666-41-7788"
EVERY = MaskPolicy(kinds=ALL_KINDS)


def built_with_region(root: Path, line: str, words: str, cut: tuple[float, float]) -> BuildReport:
    """Of `words` in `line`, the share from `cut[0]` to `cut[1]` of their width is blanked."""
    client = small_client(root / "client")
    path = put_pdf(client / LETTER, ["Dear Ms Marsh,", line, "Sincerely"])
    with pymupdf.open(path) as document:
        found = document[0].search_for(words)[0]
    left, right = found.x0 + cut[0] * found.width, found.x0 + cut[1] * found.width
    digest = hashlib.sha256(path.read_bytes()).hexdigest()
    with (client / "engagement.toml").open("a") as file:
        file.write(
            f'[[blank]]\nfile = "{LETTER}"\npage = 1\nwhy = "a remark"\nsha256 = "{digest}"\n'
            f"box = [{left:.1f}, {found.y0:.1f}, {right:.1f}, {found.y1:.1f}]\n"
        )
    return build(BuildRequest(client, "client-copy"))


@pytest.mark.parametrize(
    "cut",
    [
        pytest.param((0.66, 1.0), id="the last four go"),
        pytest.param((0.0, 0.59), id="the first five go"),
        pytest.param((0.36, 0.55), id="two in the middle go"),
        pytest.param((0.83, 1.0), id="the last two go"),
    ],
)
def test_a_region_through_a_number_holds_the_packet(
    tmp_path: Path, cut: tuple[float, float]
) -> None:
    report = built_with_region(tmp_path, f"the spare part {NUMBER} was ordered", NUMBER, cut)
    assert report.held == (f"{LETTER} page 1: {CUT}",)
    assert report.released is None


@pytest.mark.parametrize(
    ("line", "label"),
    [
        ("Identity Protection PIN 482139", "Identity Protection PIN"),
        ("Account number 482139", "Account number"),
    ],
)
def test_a_region_over_the_label_alone_holds_the_packet(
    tmp_path: Path, line: str, label: str
) -> None:
    """Then nothing would tell that the digits are a number, and they would stay."""
    report = built_with_region(tmp_path, line, label, (0.0, 1.0))
    assert report.held == (f"{LETTER} page 1: {CUT}",)


@pytest.mark.parametrize("words", [NUMBER, "ordered", f"the spare part {NUMBER} was"])
def test_a_region_around_a_number_or_beside_it_holds_nothing(tmp_path: Path, words: str) -> None:
    report = built_with_region(tmp_path, f"the spare part {NUMBER} was ordered", words, (0, 1))
    assert report.held == ()


@pytest.mark.parametrize("degrees", [0, 90, 180, 270])
@pytest.mark.parametrize(("cropped", "unit"), [(False, 1.0), (True, 1.5)])
def test_turned_cropped_and_enlarged_pages_are_counted_as_they_are_shown(
    degrees: int, cropped: bool, unit: float
) -> None:
    pdf = canvas_pdf(lambda canvas: canvas.drawString(200, 698, NUMBER))
    pdf, told = turned(pdf, degrees, cropped=cropped, unit=unit), []
    with OcrReader() as ocr:
        before = Sight(pdf, survey_document(pdf, ocr))
        for box in (Box(195, 80, 330, 100), Box(230, 80, 330, 100), Box(195, 60, 330, 75)):
            region = Region(1, as_shown(box, degrees, cropped=cropped, unit=unit), "a remark")
            done = blank_regions(pdf, [region]).pdf
            after = Sight(done, survey_document(done, ocr))
            told.append(len([*cut_numbers(before, after, [region], (), EVERY)]))
    assert told == [0, 1, 0]


def scan(left: float, number: str) -> bytes:
    """A page that is a picture, with the number at `left` points."""
    picture = Image.new("L", (1275, 1650), "white")
    ImageDraw.Draw(picture).text(
        (left * 150 / 72, 300), number, fill="black", font=ImageFont.load_default(size=28)
    )
    target = io.BytesIO()
    canvas = Canvas(target, pagesize=(612, 792), invariant=True)
    canvas.drawImage(ImageReader(picture), 0, 0, 612, 792)
    canvas.showPage()
    canvas.save()
    return target.getvalue()


def test_a_region_through_a_number_in_a_picture_is_told() -> None:
    pdf, told = scan(100, NUMBER), []
    with OcrReader() as ocr:
        before = Sight(pdf, survey_document(pdf, ocr))
        for box in (Box(150, 140, 300, 165), Box(95, 140, 300, 165), Box(95, 300, 300, 330)):
            region = Region(1, box, "a remark")
            done = blank_regions(pdf, [region]).pdf
            after = Sight(done, survey_document(done, ocr))
            told.append([*cut_numbers(before, after, [region], (), EVERY)])
    assert told == [[f"page 1: {CUT}"], [], []]

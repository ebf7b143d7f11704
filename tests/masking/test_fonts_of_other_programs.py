"""Fonts as common programs embed them, and fonts with false names, tell nothing either."""

import io
import shutil
import subprocess
from pathlib import Path

import pymupdf
import pytest
import reportlab
from masking_run import known_number, mask
from other_readers import READERS
from pixels import differs_outside
from reportlab.pdfgen.canvas import Canvas
from subset_documents import KINDS, document_in, unicode_map

HEADS = ("987-65", "900-10", "666-12", "912-34")
SURVIVING = {"some digits": ["Total 2,034 due"], "all digits": ["0123456789 all"]}
CELLS = [(55, 35, 120, 56)]


def by_mupdf(lines):
    document = pymupdf.open()
    page = document.new_page(width=400, height=400)
    file = str(Path(reportlab.__file__).parent / "fonts" / "Vera.ttf")
    for k, line in enumerate(lines):
        page.insert_text((30, 50 + 30 * k), line, fontname="V", fontfile=file, fontsize=12)
    document.subset_fonts()
    return document.tobytes(no_new_id=True)


def by_cairo(pdf, folder):
    (folder / "in.pdf").write_bytes(pdf)
    run = ["pdftocairo", "-pdf", str(folder / "in.pdf"), str(folder / "out.pdf")]
    subprocess.run(run, check=True, env={"SOURCE_DATE_EPOCH": "1772000000"})
    return (folder / "out.pdf").read_bytes()


def in_times(lines):
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(400, 400), invariant=1)
    canvas.setFont("Times-Roman", 12)
    for k, line in enumerate(lines):
        canvas.drawString(30, 350 - 30 * k, line)
    canvas.save()
    return out.getvalue()


def assert_tells_nothing(make, surviving):
    results = set()
    for head in HEADS:
        lines = [f"SSN {head}-4320", *surviving]
        pdf = make(lines)
        result = mask(pdf, [known_number(head + "4320")])
        assert not result.unread
        assert len(result.masks) == 1
        assert differs_outside(pdf, result.pdf, CELLS) == 0
        for read in READERS.values():
            words = "".join(read(result.pdf).split())
            assert words == "SSNXXX-XX-4320" + surviving[0].replace(" ", "")
        results.add(result.pdf)
    assert len(results) == 1


surviving = pytest.mark.parametrize("surviving", SURVIVING.values(), ids=SURVIVING.keys())


@surviving
def test_a_subset_made_by_mupdf_tells_nothing(surviving):
    assert_tells_nothing(by_mupdf, surviving)


@pytest.mark.skipif(not shutil.which("pdftocairo"), reason="poppler-utils is not installed")
@surviving
@pytest.mark.parametrize(
    "kind", ["symbolic TrueType", "Type 1C with names", "CID-keyed", "Type 1", "Type 3", "Times"]
)
def test_a_subset_made_by_cairo_tells_nothing(kind, surviving, tmp_path):
    def make(lines):
        return by_cairo(
            in_times(lines) if kind == "Times" else document_in(KINDS[kind], lines), tmp_path
        )

    assert_tells_nothing(make, surviving)


def other_letters(digits):
    return {digit: "BCDEFGHIJK"[int(digit)] for digit in digits}


def private_characters(digits):
    """Counted as they come to be used."""
    return {digit: chr(0xE000 + k) for k, digit in enumerate(digits)}


@pytest.mark.parametrize("false_names", [other_letters, private_characters])
@pytest.mark.parametrize(
    "kind",
    ["symbolic TrueType", "TrueType by glyph number", "Type 1C with counting names", "Type 3"],
)
def test_a_font_that_calls_digits_by_false_names_tells_nothing(kind, false_names):
    """Read by character recognition; glyphs go that nobody shows, whatever they are called."""

    def make(document, chars):
        font, codes = KINDS[kind](document, chars)
        names = false_names([char for char in chars if char.isdigit()])
        false = {names.get(char, char): code for char, code in codes.items()}
        font.ToUnicode = unicode_map(document, false)
        return font, codes

    results = []
    for head in ("987-65", "900-12"):
        lines = [f"SSN {head}-4320", "Total 2,034 due", "Names: Zoe and Abel"]
        result = mask(document_in(make, lines), [known_number(head + "4320")])
        assert not result.unread
        assert [record.within for record in result.masks] == ["drawing"]
        results.append(result.pdf)
    assert results[0] == results[1]

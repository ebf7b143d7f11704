"""The same binding gives the same bytes, and they say nothing about who made them."""

import os
import subprocess
import sys
from io import BytesIO
from pathlib import Path

import pikepdf
from bound_samples import bind, numbered_pdf, one_part, page_pdf

from packets.assembly.assemble import assemble
from packets.assembly.records import BoundPages, BoundPart
from packets.base.one_process import in_one_process

HERE = Path(__file__).parent


def _packet() -> bytes:
    sheets = numbered_pdf(3)
    return assemble(
        bind(one_part(sheets, (1, 3), title="Иванов"), one_part(sheets), household="Nguyễn 田中")
    ).pdf


def test_two_runs_give_the_same_bytes() -> None:
    assert _packet() == _packet()


def test_another_process_gives_the_same_bytes() -> None:
    code = "import sys, test_sameness_and_silence as t; sys.stdout.buffer.write(t._packet())"
    environment = {**os.environ, "PYTHONHASHSEED": "7", "PYTHONPATH": f"{HERE}:{HERE.parents[1]}"}
    other = subprocess.run(
        [sys.executable, "-c", code], env=environment, capture_output=True, check=True
    )
    assert other.stdout == _packet()


def test_the_only_metadata_is_the_title() -> None:
    with pikepdf.open(BytesIO(_packet())) as pdf:
        assert dict(pdf.docinfo.items()) == {"/Title": "Your 2025 income tax return"}
        assert set(pdf.Root.keys()) == {
            "/Lang",
            "/Outlines",
            "/PageLabels",
            "/PageMode",
            "/Pages",
            "/Type",
            "/ViewerPreferences",
        }
        assert pdf.Root.Lang == "en-US"
        assert pdf.Root.PageMode == "/UseOutlines"
        assert pdf.Root.ViewerPreferences.DisplayDocTitle
        for number in range(len(pdf.pages)):
            assert not {"/PieceInfo", "/LastModified", "/Metadata"} & set(pdf.pages[number].keys())


def test_no_maker_and_no_clock_is_named_anywhere() -> None:
    with pikepdf.open(BytesIO(_packet())) as pdf:
        flat = BytesIO()
        pdf.save(flat, object_stream_mode=pikepdf.ObjectStreamMode.disable, qdf=True)
    data = flat.getvalue().lower()
    for word in (
        b"producer",
        b"creator",
        b"creationdate",
        b"moddate",
        b"reportlab",
        b"mupdf",
        b"pikepdf",
    ):
        assert word not in data


def test_fonts_and_pictures_of_one_source_stay_shared() -> None:
    sheets = numbered_pdf(20)
    packet = assemble(
        bind(
            BoundPart("A", (BoundPages("x", sheets, tuple(range(1, 11))),)),
            BoundPart("B", (BoundPages("y", bytes(bytearray(sheets)), tuple(range(11, 21))),)),
        )
    )
    with pikepdf.open(BytesIO(packet.pdf)) as pdf:
        used = {
            pdf.pages[number - 1].Resources.XObject["/P"].Resources.Font["/F0"].objgen
            for document in packet.page_of
            for number in document
        }
    assert len(used) == 1


def test_pictures_keep_their_bytes() -> None:
    picture = bytes(range(256)) * 3
    with pikepdf.open(BytesIO(page_pdf([b"q 90 0 0 90 200 300 cm /Im Do Q"]))) as pdf:
        image = pikepdf.Stream(pdf, b"\xff\xd8" + picture)
        image.stream_dict = pikepdf.Dictionary(
            Type=pikepdf.Name.XObject,
            Subtype=pikepdf.Name.Image,
            Width=16,
            Height=16,
            BitsPerComponent=8,
            ColorSpace=pikepdf.Name.DeviceRGB,
            Filter=pikepdf.Name.DCTDecode,
        )
        pdf.pages[0].Resources.XObject = pikepdf.Dictionary(Im=pdf.make_indirect(image))
        file = BytesIO()
        pdf.save(file)
    packet = assemble(bind(one_part(file.getvalue())))
    with pikepdf.open(BytesIO(packet.pdf)) as pdf:
        kept = pdf.pages[2].Resources.XObject["/P"].Resources.XObject["/Im"]
        assert kept.read_raw_bytes() == b"\xff\xd8" + picture


def test_pages_looked_at_alongside_get_the_same_bytes() -> None:
    lines = [100 * n % 760 + 4 for n in range(60)]
    sheets = page_pdf([f"0 {y} 612 14 re f".encode() for y in lines])
    binding = bind(one_part(sheets, tuple(range(1, 61)), title="Bars"))
    with in_one_process():
        alone = assemble(binding).pdf
    assert assemble(binding).pdf == alone

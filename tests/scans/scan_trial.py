"""One scan through survey, learning and masking, judged from outside."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from outside_eye import picture_in, still_seen
from scan_faults import Scan
from scan_papers import Paper
from scanned_pages import scanned

from packets.base.secret import Secret
from packets.identifiers.kinds import Kind, KnownNumber, MaskPolicy
from packets.masking.mask_document import MaskOrder, mask_document
from packets.masking.records import MaskedDocument
from packets.masking.survey import learned, survey_document
from packets.reading.engine import quiet_engine
from packets.reading.ocr import OcrReader


class Verdict(StrEnum):
    """What became of one number."""

    MASKED = "masked"
    HELD = "held"
    """Not masked, but the page is named as unread, so nothing goes out."""
    MISSED = "missed"


@dataclass(frozen=True)
class Trial:
    """What became of the numbers of one scan."""

    verdicts: tuple[Verdict, ...]
    held: bool
    """Whether the page is held at all."""


@cache
def reader() -> OcrReader:
    """One engine for all trials."""
    quiet_engine()
    return OcrReader()


def masked(pdf: bytes, known: Sequence[KnownNumber] = ()) -> MaskedDocument:
    """As the pipeline does it: survey, learn, mask."""
    survey = survey_document(pdf, reader())
    numbers = (*known, *learned((survey,)))
    return mask_document(MaskOrder(pdf, survey, (0,), numbers, MaskPolicy()), reader())


def known_numbers(paper: Paper) -> tuple[KnownNumber, ...]:
    """The paper's numbers as identifiers.toml would give them."""
    values = dict.fromkeys(number.value for number in paper.numbers)
    return tuple(KnownNumber(Kind.SSN, Secret(value), given=True) for value in values)


def trial(paper: Paper, scan: Scan, *, known: bool) -> Trial:
    """Scan the paper, mask it, look."""
    page = scanned(paper, scan)
    result = masked(page.pdf, known_numbers(paper) if known else ())
    after = picture_in(result.pdf)
    held = bool(result.unread)
    verdicts = []
    for digits in page.numbers:
        left = still_seen(page.picture, after, digits)
        if not left:
            verdicts.append(Verdict.MASKED)
        else:
            verdicts.append(Verdict.HELD if held else Verdict.MISSED)
    return Trial(tuple(verdicts), held)

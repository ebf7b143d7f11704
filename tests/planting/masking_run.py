"""A document through flattening, survey and masking, as the pipeline does it."""

from collections.abc import Sequence
from functools import cache

from packets.base.secret import Secret
from packets.identifiers.kinds import ALL_KINDS, Kind, KnownNumber, MaskPolicy
from packets.masking.flatten import flatten
from packets.masking.mask_document import MaskOrder, mask_document
from packets.masking.records import MaskedDocument
from packets.masking.survey import learned, survey_document
from packets.reading.engine import quiet_engine
from packets.reading.ocr import OcrReader


@cache
def reader() -> OcrReader:
    quiet_engine()
    return OcrReader()


def known_number(written: str, kind: Kind = Kind.SSN) -> KnownNumber:
    return KnownNumber(kind, Secret("".join(c for c in written if c.isdigit())), given=True)


def mask(
    pdf: bytes,
    known: Sequence[KnownNumber] = (),
    *,
    glyph: str = "X",
    blank: bool = False,
    kinds: frozenset[Kind] = ALL_KINDS,
) -> MaskedDocument:
    """Mask every kind on every page, with the numbers that the document itself teaches."""
    quiet_engine()
    flat = flatten(pdf)
    survey = survey_document(flat.pdf, reader())
    pages = tuple(range(len(survey.pages)))
    policy = MaskPolicy(kinds=kinds, glyph="*" if glyph == "*" else "X")
    numbers = (*known, *learned([survey]))
    blanks = frozenset(pages) if blank else frozenset()
    return mask_document(MaskOrder(flat.pdf, survey, pages, numbers, policy, blanks), reader())

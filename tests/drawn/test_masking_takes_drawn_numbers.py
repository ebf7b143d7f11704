"""The masking station takes drawn numbers out along with written ones."""

import pytest
from drawn_run import recognised
from drawn_samples import NUMBER, outline, page_of, segments, words

from packets.identifiers.kinds import ALL_KINDS, MaskPolicy
from packets.masking.flatten import flatten
from packets.masking.mask_document import MaskOrder, mask_document
from packets.masking.survey import learned, survey_document
from packets.reading.ocr import OcrReader


@pytest.mark.parametrize("how", ["outlines", "segments"])
def test_a_drawn_number_goes_beside_a_written_one(how):
    drawn = segments(NUMBER) if how == "segments" else outline(NUMBER) + "f\n"
    pdf = page_of(words(f"SSN {NUMBER}", 72, 700) + drawn)
    flat = flatten(pdf).pdf
    with OcrReader() as ocr:
        survey = survey_document(flat, ocr)
        known = learned([survey])
        order = MaskOrder(flat, survey, (0,), known, MaskPolicy(kinds=ALL_KINDS))
        result = mask_document(order, ocr)
    assert sorted(mask.within for mask in result.masks) == ["drawing", "text"]
    assert result.unread == ()
    read = recognised(result.pdf)
    assert NUMBER not in read
    assert NUMBER[:6] not in read

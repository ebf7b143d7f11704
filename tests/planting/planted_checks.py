"""What every planting test asks: seen before by others, gone afterwards for all of them."""

import io
from collections import Counter
from collections.abc import Sequence

import pikepdf
from masking_run import mask
from other_readers import READERS, all_digits, digits_of
from planted_pages import GOING, STAYING

from packets.identifiers.kinds import KnownNumber
from packets.masking.records import MaskedDocument


def assert_taken_out(
    pdf: bytes,
    known: Sequence[KnownNumber] = (),
    *,
    times: int = 1,
    seen_by: int = 1,
    glyph: str = "X",
) -> MaskedDocument:
    """Plant, look, mask, look again. The page holds no digits but the number's, `times` over."""
    before = all_digits(pdf)
    wanted = Counter((GOING + STAYING) * times)
    saw = [name for name, digits in before.items() if Counter(digits) == wanted]
    assert len(saw) >= seen_by, before
    result = mask(pdf, known, glyph=glyph)
    assert not result.unread
    after = all_digits(result.pdf)
    for name in READERS:
        left = Counter(after[name])
        assert not left & Counter(GOING), (name, after[name])
        if name in saw:
            assert left == Counter(STAYING * times), (name, after[name])
    assert_not_in_streams(result.pdf)
    return result


def assert_not_in_streams(pdf: bytes) -> None:
    with pikepdf.open(io.BytesIO(pdf)) as document:
        for item in document.objects:
            if isinstance(item, pikepdf.Stream) and "/Length1" not in item:
                assert GOING not in digits_of(item.read_bytes().decode("latin-1"))
                assert b"987-65" not in item.read_bytes()

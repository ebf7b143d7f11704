"""A number on a page is seen in whatever order, direction and place its digits are drawn."""

import pytest
from outbound_pages import literal, with_content

from packets.base.secret import Secret
from packets.identifiers.kinds import Kind, KnownNumber, MaskPolicy
from packets.outbound.check import check_pdf

KNOWN = (KnownNumber(Kind.SSN, Secret("000123456")),)


def places(
    data: bytes, *, thorough: bool = False, known: tuple[KnownNumber, ...] = KNOWN
) -> set[str]:
    verdict = check_pdf(
        data, name="a.pdf", passphrase=None, known=known, policy=MaskPolicy(), thorough=thorough
    )
    return {seen.reader for seen in verdict.sightings}


def digits_at(positions: list[tuple[float, float]], order: list[int], digits: str) -> bytes:
    shown = [b"1 0 0 1 %.1f %.1f Tm %s Tj" % (*positions[n], literal(digits[n])) for n in order]
    return with_content(b"BT /F1 10 Tf " + b"\n".join(shown) + b" ET")


COMB = [(100 + 14.4 * n, 500) for n in range(9)]
COLUMN = [(100, 500 - 14.0 * n) for n in range(9)]


@pytest.mark.parametrize("where", [COMB, COLUMN])
@pytest.mark.parametrize(
    "order",
    [
        [0, 1, 2, 3, 4, 5, 6, 7, 8],
        [8, 7, 6, 5, 4, 3, 2, 1, 0],
        [4, 0, 8, 2, 6, 1, 7, 3, 5],
    ],
)
def test_a_known_number_in_boxes_is_seen_in_any_order_of_drawing(
    where: list[tuple[float, float]], order: list[int]
) -> None:
    assert "page text" in places(digits_at(where, order, "000123456"))


def test_a_shape_drawn_out_of_order_is_seen_when_looked_at_thoroughly() -> None:
    where = [(100 + 6.0 * n, 500) for n in range(11)]
    order = [6, 0, 10, 3, 1, 8, 2, 9, 4, 7, 5]
    data = digits_at(where, order, "666-12-3457")
    assert "page text" in places(data, thorough=True, known=())
    assert "pixels" in places(data, thorough=True, known=())


@pytest.mark.parametrize(
    "matrix",
    [b"0 1 -1 0 300 200", b"-1 0 0 -1 500 500", b"0 -1 1 0 300 600", b"0.7 0.7 -0.7 0.7 200 200"],
)
def test_turned_text_is_seen(matrix: bytes) -> None:
    shown = b"BT /F1 12 Tf " + matrix + b" Tm (Number 666-12-3457 here) Tj ET"
    assert "page text" in places(with_content(shown), known=())


def test_a_number_split_over_three_fields_is_seen() -> None:
    shown = b"BT /F1 10 Tf 72 500 Td (000) Tj 60 0 Td (12) Tj 40 0 Td (3456) Tj ET"
    assert "page text" in places(with_content(shown))


def test_a_number_split_over_lines_and_words_is_seen() -> None:
    shown = b"BT /F1 10 Tf 72 500 Td (000 one) Tj 0 -14 Td (12 two) Tj 0 -14 Td (3456) Tj ET"
    assert "page text" in places(with_content(shown))


def test_a_bare_run_with_no_label_is_seen() -> None:
    shown = b"BT /F1 10 Tf 72 500 Td (666123457) Tj ET"
    assert "page text" in places(with_content(shown), known=())


def test_a_label_above_its_number_explains_it() -> None:
    shown = b"BT /F1 10 Tf 72 500 Td (Routing number) Tj 0 -12 Td (021000021) Tj ET"
    assert places(with_content(shown), known=()) == set()


def test_digits_outside_the_basic_plane_are_read() -> None:
    digits = "".join(chr(0x1D7CE + int(d)) for d in "000123456")
    hexed = "".join(digits.encode("utf-16-be").hex()).encode()
    span = b"/Span << /ActualText <feff" + hexed + b"> >> BDC BT ET EMC"
    assert "objects and streams" in places(with_content(span))

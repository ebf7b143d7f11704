"""A number written with every operator and spacing that PDF has for text."""

import pytest
from masking_run import known_number
from pikepdf import Array
from planted_checks import assert_taken_out
from planted_pages import NUMBER, sheet

N = NUMBER.encode()
KNOWN = [known_number(NUMBER)]


def one_by_one(order: str) -> bytes:
    """Each character shown by itself at its place, in the given order of places."""
    places = {char: 50 + 8 * at for at, char in enumerate(NUMBER) if char != "-"}
    return (
        b"BT /F1 12 Tf "
        + b" ".join(f"1 0 0 1 {places[char]} 300 Tm ({char}) Tj".encode() for char in order)
        + b" ET"
    )


SELF_FOUND = {
    "one string": b"BT /F1 12 Tf 50 300 Td (" + N + b") Tj ET",
    "a hexadecimal string": b"BT /F1 12 Tf 50 300 Td <" + N.hex().encode() + b"> Tj ET",
    "octal escapes": b"BT /F1 12 Tf 50 300 Td (\\0718\\067-\\66\\065-43\\062\\\n0) Tj ET",
    "a kerned array": b"BT /F1 12 Tf 50 300 Td [(98)12(7-)-30(6)8(5)(-4)5(320)] TJ ET",
    "one operator per glyph": b"BT /F1 12 Tf 50 300 Td "
    + b" ".join(b"(" + bytes([c]) + b") Tj" for c in N)
    + b" ET",
    "comb with character spacing": b"BT /F1 10 Tf 8 Tc 50 300 Td (987654320) Tj ET",
    "word spacing in a comb": b"BT /F1 10 Tf 4 Tw 50 300 Td (9 8 7 6 5 4 3 2 0) Tj ET",
    "the quote operator": b"BT /F1 12 Tf 14 TL 50 300 Td (above) Tj (" + N + b") ' ET",
    "the double quote operator": b"BT /F1 12 Tf 14 TL 50 300 Td (a) Tj 1 0.5 (" + N + b') " ET',
    "scaled horizontally": b"BT /F1 12 Tf 55 Tz 50 300 Td (" + N + b") Tj ET",
    "raised": b"BT /F1 12 Tf 5 Ts 50 300 Td (" + N + b") Tj ET",
    "every setting at once": b"BT /F1 9 Tf 130 Tz 3 Ts 1.5 Tc -0.5 Tw 50 300 Td (x "
    + N
    + b") Tj ET",
    "negative size turned by its matrix": b"BT /F1 -12 Tf -1 0 0 -1 50 300 Tm (" + N + b") Tj ET",
    "tiny": b"BT /F1 0.5 Tf 50 300 Td (" + N + b") Tj ET",
    "unit size with a matrix": b"BT /F1 1 Tf 12 0 0 12 50 300 Tm (" + N + b") Tj ET",
    "white": b"1 g BT /F1 12 Tf 50 300 Td (" + N + b") Tj ET",
    "invisible": b"BT /F1 12 Tf 3 Tr 50 300 Td (" + N + b") Tj ET",
    "outlined": b"BT /F1 12 Tf 1 Tr 50 300 Td (" + N + b") Tj ET",
    "added to the clip": b"q BT /F1 12 Tf 7 Tr 50 300 Td (" + N + b") Tj ET Q",
    "covered by a box": b"BT /F1 12 Tf 50 300 Td (" + N + b") Tj ET 0 g 40 290 200 30 re f",
    "clipped away": b"q 0 0 1 1 re W n BT /F1 12 Tf 50 300 Td (" + N + b") Tj ET Q",
    "next line by T*": b"BT /F1 12 Tf 20 TL 50 300 Td (line) Tj T* (" + N + b") Tj ET",
    "TD sets the leading": b"BT /F1 12 Tf 50 300 Td 0 -20 TD (x) Tj T* (" + N + b") Tj ET",
    "Q without q": b"Q Q BT /F1 12 Tf 50 300 Td (" + N + b") Tj ET Q",
    "q without Q": b"q 1 0 0 1 20 0 cm q BT /F1 12 Tf 50 300 Td (" + N + b") Tj ET",
    "two numbers in one array": b"BT /F1 8 Tf 50 300 Td [(" + N + b")-2000(" + N + b")] TJ ET",
}


@pytest.mark.parametrize("content", SELF_FOUND.values(), ids=SELF_FOUND.keys())
def test_a_number_is_taken_out_however_it_is_shown(content):
    times = content.count(N) if content.count(N) > 1 else 1
    result = assert_taken_out(sheet(content), times=times)
    assert len(result.masks) == times


HUNTED = {
    "backwards": one_by_one("023456789"),
    "out of order": one_by_one("402385967"),
    "in three columns far apart": b"BT /F1 12 Tf 20 300 Td (987) Tj 150 0 Td (65) Tj 150 0 Td "
    b"(4320) Tj ET",
    "over three lines": b"BT /F1 12 Tf 50 300 Td (987) Tj 0 -40 Td (65) Tj 0 -40 Td (4320) Tj ET",
    "down the page": b"BT /F1 12 Tf 50 380 Td "
    + b" ".join(b"(" + bytes([c]) + b") Tj 0 -30 Td" for c in b"987654320")
    + b" ET",
    "among other words": b"BT /F1 9 Tf 50 300 Td (987 as in 65 and then 4320) Tj ET",
}


@pytest.mark.parametrize("content", HUNTED.values(), ids=HUNTED.keys())
def test_a_known_number_is_taken_out_in_any_arrangement(content):
    assert_taken_out(sheet(content), KNOWN)


def test_a_number_broken_behind_its_dash_is_taken_out():
    content = b"BT /F1 12 Tf 14 TL 50 300 Td (the number 987-65-) Tj T* (4320 ends here) Tj ET"
    assert_taken_out(sheet(content))


def test_separate_fields_of_a_comb_are_one_number():
    fields = b"".join(
        b"q %d 295 14 18 re S BT /F1 11 Tf %d 300 Td (%c) Tj ET Q "
        % (50 + 14 * k, 54 + 14 * k, digit)
        for k, digit in enumerate(b"987654320")
    )
    assert_taken_out(sheet(fields))


SPLIT = {
    "between operators": [b"BT /F1 12 Tf 50 300 Td", b"(" + N + b") Tj ET"],
    "between operand and operator": [b"BT /F1 12 Tf 50 300 Td (" + N + b")", b"Tj ET"],
    "inside an array": [b"BT /F1 12 Tf 50 300 Td [(987)", b"(-65-4320)] TJ ET"],
    "state carried over": [b"q 1 0 0 1 30 0 cm BT /F1 12 Tf ET", b"BT 20 300 Td (" + N
    + b") Tj ET Q"],
}  # fmt: skip


@pytest.mark.parametrize("parts", SPLIT.values(), ids=SPLIT.keys())
def test_content_in_several_streams_is_one_content(parts):
    assert_taken_out(sheet(parts))


def test_an_inline_image_nearby_changes_nothing():
    image = b"q 20 0 0 20 10 10 cm BI /W 4 /H 4 /BPC 8 /CS /G ID " + bytes(range(40, 56)) + b" EI Q"
    text = b" BT /F1 12 Tf 50 300 Td (" + N + b") Tj ET "
    result = assert_taken_out(sheet(image + text + image))
    assert result.pdf.count(b"%PDF-") == 1


PLACES = {
    "off the crop box": {"CropBox": [0, 0, 100, 100]},
    "off the media box": {"MediaBox": [0, 0, 100, 100]},
    "on a page that starts elsewhere": {"MediaBox": [-50, -70, 350, 330]},
    "on a page with a crop box larger than it": {"CropBox": [-100, -100, 900, 900]},
    "on a page of user units": {"UserUnit": 2},
    "turned by 90": {"Rotate": 90},
    "turned by 180": {"Rotate": 180},
    "turned by 270": {"Rotate": 270},
    "turned by -90": {"Rotate": -90},
    "turned and cropped": {"Rotate": 90, "CropBox": [20, 30, 380, 390]},
}


@pytest.mark.parametrize("keys", PLACES.values(), ids=PLACES.keys())
def test_a_number_is_taken_out_wherever_the_page_lies(keys):
    entries = {f"/{k}": Array(v) if isinstance(v, list) else v for k, v in keys.items()}
    assert_taken_out(sheet(b"BT /F1 12 Tf 50 300 Td (" + N + b") Tj ET", keys=entries))


MATRICES = {
    "turned a little": "0.966 0.259 -0.259 0.966 80 200",
    "upwards": "0 1 -1 0 100 100",
    "downwards": "0 -1 1 0 100 300",
    "upside down": "-1 0 0 -1 300 300",
    "mirrored": "-1 0 0 1 300 200",
    "flipped": "1 0 0 -1 50 200",
    "skewed": "1 0.2 0.5 1 50 150",
    "squeezed": "0.3 0 0 1 50 200",
}


@pytest.mark.parametrize("how", ["text", "graphics"])
@pytest.mark.parametrize("matrix", MATRICES.values(), ids=MATRICES.keys())
def test_a_number_is_taken_out_through_any_matrix(matrix, how):
    inside = b"BT /F1 12 Tf 0 0 Td (" + N + b") Tj ET"
    if how == "text":
        inside = b"BT /F1 12 Tf " + matrix.encode() + b" Tm (" + N + b") Tj ET"
    else:
        inside = b"q " + matrix.encode() + b" cm " + inside + b" Q"
    assert_taken_out(sheet(inside), KNOWN)

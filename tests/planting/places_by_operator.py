"""A number written with every operator and spacing that PDF has for text."""

from hiding_places import family
from pikepdf import Array
from planted_pages import NUMBER, sheet

N = NUMBER.encode()
IN_A_SENTENCE = b"BT /F1 12 Tf 50 300 Td (" + N + b") Tj ET"


def one_by_one(order: str) -> bytes:
    """Each character shown by itself at its place, in the given order of places."""
    places = {char: 50 + 8 * at for at, char in enumerate(NUMBER) if char != "-"}
    return (
        b"BT /F1 12 Tf "
        + b" ".join(f"1 0 0 1 {places[char]} 300 Tm ({char}) Tj".encode() for char in order)
        + b" ET"
    )


SELF_FOUND = {
    "one string": IN_A_SENTENCE,
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
    "white": b"1 g " + IN_A_SENTENCE,
    "invisible": b"BT /F1 12 Tf 3 Tr 50 300 Td (" + N + b") Tj ET",
    "outlined": b"BT /F1 12 Tf 1 Tr 50 300 Td (" + N + b") Tj ET",
    "added to the clip": b"q BT /F1 12 Tf 7 Tr 50 300 Td (" + N + b") Tj ET Q",
    "covered by a box": IN_A_SENTENCE + b" 0 g 40 290 200 30 re f",
    "clipped away": b"q 0 0 1 1 re W n " + IN_A_SENTENCE + b" Q",
    "next line by T*": b"BT /F1 12 Tf 20 TL 50 300 Td (line) Tj T* (" + N + b") Tj ET",
    "TD sets the leading": b"BT /F1 12 Tf 50 300 Td 0 -20 TD (x) Tj T* (" + N + b") Tj ET",
    "Q without q": b"Q Q " + IN_A_SENTENCE + b" Q",
    "q without Q": b"q 1 0 0 1 20 0 cm q " + IN_A_SENTENCE,
    "broken behind its dash": b"BT /F1 12 Tf 14 TL 50 300 Td (the number 987-65-) Tj T* "
    b"(4320 ends here) Tj ET",
    "separate fields of a comb": b"".join(
        b"q %d 295 14 18 re S BT /F1 11 Tf %d 300 Td (%c) Tj ET Q "
        % (50 + 14 * k, 54 + 14 * k, digit)
        for k, digit in enumerate(b"987654320")
    ),
    "beside an inline picture": b"q 20 0 0 20 10 10 cm BI /W 4 /H 4 /BPC 8 /CS /G ID "
    + bytes(range(40, 56))
    + b" EI Q "
    + IN_A_SENTENCE,
    "a claim number with its letter": b"BT /F1 12 Tf 50 300 Td (" + N + b"A) Tj ET",
    "a claim number with a letter in the middle": b"BT /F1 12 Tf 50 300 Td (" + N + b"HB) Tj ET",
    "a key around it": b"BT /F1 12 Tf 50 300 Td (W:" + N + b":a) Tj ET",
    "under its label, in one piece": b"BT /F1 9 Tf 50 320 Td (Social security number) Tj 0 -12 Td "
    b"(987654320) Tj ET",
}

PRINTED_TWICE = {
    "two numbers in one array": b"BT /F1 8 Tf 50 300 Td [(" + N + b")-2000(" + N + b")] TJ ET",
    "overlapped for bold print": b"BT /F1 12 Tf 50 300 Td (" + N + b") Tj 0.3 0 Td (" + N
    + b") Tj ET",
    "overlapped glyph by glyph": b"BT /F1 12 Tf "
    + b" ".join(
        b"1 0 0 1 %.2f 300 Tm (%c) Tj 1 0 0 1 %.2f 300 Tm (%c) Tj"
        % (50 + 7 * k, char, 50.3 + 7 * k, char)
        for k, char in enumerate(N)
    )
    + b" ET",
    "with its shadow": b"0.6 g BT /F1 12 Tf 51 299 Td (" + N + b") Tj ET 0 g " + IN_A_SENTENCE,
}  # fmt: skip

LABELLED = {
    "its label and three lines": b"BT /F1 12 Tf 14 TL 50 300 Td (SSN 987) Tj T* (65) Tj T* (4320) "
    b"Tj ET",
    "its label and three cells": b"BT /F1 12 Tf 50 300 Td (SSN) Tj 60 0 Td (987) Tj 60 0 Td (65) "
    b"Tj 60 0 Td (4320) Tj ET",
    "its label and two lines": b"BT /F1 12 Tf 14 TL 50 300 Td (SSN 987-65) Tj T* (4320) Tj ET",
}

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

SPLIT = {
    "between operators": [b"BT /F1 12 Tf 50 300 Td", b"(" + N + b") Tj ET"],
    "between operand and operator": [b"BT /F1 12 Tf 50 300 Td (" + N + b")", b"Tj ET"],
    "inside an array": [b"BT /F1 12 Tf 50 300 Td [(987)", b"(-65-4320)] TJ ET"],
    "state carried over": [b"q 1 0 0 1 30 0 cm BT /F1 12 Tf ET", b"BT 20 300 Td (" + N
    + b") Tj ET Q"],
}  # fmt: skip

BOXES = {
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


def in_box(keys: dict[str, object]) -> bytes:
    entries = {f"/{k}": Array(v) if isinstance(v, list) else v for k, v in keys.items()}
    return sheet(IN_A_SENTENCE, keys=entries)


def by_text_matrix(matrix: str) -> bytes:
    return sheet(b"BT /F1 12 Tf " + matrix.encode() + b" Tm (" + N + b") Tj ET")


def by_graphics_matrix(matrix: str) -> bytes:
    inside = b"BT /F1 12 Tf 0 0 Td (" + N + b") Tj ET"
    return sheet(b"q " + matrix.encode() + b" cm " + inside + b" Q")


def sheets(cases: dict[str, object]) -> dict[str, object]:
    return {name: (lambda content=content: sheet(content)) for name, content in cases.items()}


PLACES = {
    **family("text", sheets(SELF_FOUND), known=False),
    **family("text printed twice", sheets(PRINTED_TWICE), known=False, times=2),
    **family("text by its label", sheets(LABELLED), known=False),
    **family("text in pieces", sheets(HUNTED)),
    **family("several content streams, split", sheets(SPLIT), known=False),
    **family("page", {k: (lambda v=v: in_box(v)) for k, v in BOXES.items()}, known=False),
    **family("text matrix", {k: (lambda v=v: by_text_matrix(v)) for k, v in MATRICES.items()}),
    **family(
        "graphics matrix", {k: (lambda v=v: by_graphics_matrix(v)) for k, v in MATRICES.items()}
    ),
}

"""Our own print is set in faces whose letters are as wide as their dictionaries say."""

import pikepdf
import pymupdf
import pytest

from packets.assembly.faces import _FACES, face_object


@pytest.mark.parametrize("face", _FACES)
def test_widths_are_those_of_the_face_that_goes_along(face):
    packet = pikepdf.new()
    told = [int(width) for width in face_object(packet, face, {"A"}).Widths]
    carried = pymupdf.Font(_FACES[face].carried)
    letters = [bytes([code]).decode("cp1252", "replace") for code in range(32, 256)]
    assert told == [
        0 if letter == "\ufffd" else round(carried.glyph_advance(ord(letter)) * 1000)
        for letter in letters
    ]

"""Numbers as pixels: the pictures that picture places and drawn glyphs are made of."""

from PIL import Image, ImageDraw, ImageFont

SIZE = (1000, 200)
"""Of a picture with one line of text, in pixels."""


def picture_of(
    text: str, size: tuple[int, int] = SIZE, at: tuple[int, int] = (60, 70)
) -> Image.Image:
    """One line of black text on white, in grey."""
    picture = Image.new("L", size, 255)
    write_on(picture, text, at)
    return picture


def write_on(picture: Image.Image, text: str, at: tuple[int, int], height: int = 48) -> None:
    """One line of black text on a grey picture; `height` of its type in pixels."""
    ImageDraw.Draw(picture).text(at, text, font=ImageFont.load_default(height), fill=0)


def sentence_picture(number: str) -> Image.Image:
    """The number within a sentence."""
    return picture_of(f"Number {number} on file")


def stencil_procedures(text: str) -> dict[str, bytes]:
    """For each letter the content of a Type 3 glyph that draws it as a stencil."""
    head = b"1000 0 0 0 1000 1333 d1 q 1000 0 0 1333 0 0 cm BI /W 120 /H 160 /IM true /BPC 1 ID "
    procedures: dict[str, bytes] = {}
    for code, char in enumerate(text):
        cell = picture_of(char, (120, 160)).point(lambda value: 255 * (value > 127)).convert("1")
        procedures[f"/g{code}"] = head + cell.tobytes() + b"\nEI Q"
    return procedures

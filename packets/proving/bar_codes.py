"""Numbers in bar codes, as pictures and as drawn bars."""

import base64
import zlib
from collections.abc import Callable
from typing import Any

import zxingcpp
from PIL import Image, ImageOps

from packets.proving.copies import Copy
from packets.proving.pictures import grey_object, lay
from packets.proving.place import Place
from packets.proving.records import Told

_FAMILY = "bar codes"

Plant = Callable[[Copy, str], None]
_FORMATS = zxingcpp.BarcodeFormat


def code_picture(
    content: str | bytes, symbology: zxingcpp.BarcodeFormat, scale: int = 4
) -> Image.Image:
    """A bar code in grey."""
    code = zxingcpp.create_barcode(content, symbology)
    drawn: Any = zxingcpp.write_barcode_to_image(code, scale=scale)
    view = memoryview(drawn)
    height, width = (view.shape or (0, 0))[:2]
    return Image.frombytes("L", (width, height), view.tobytes())


def lay_code(copy: Copy, picture: Image.Image) -> None:
    """Lay a code on the page within the room that there is."""
    times = min(250 / picture.width, 160 / picture.height)
    size = (picture.width * times, picture.height * times)
    lay(copy, grey_object(copy, picture), b"%.2f 0 0 %.2f 5 5 cm" % size)


def _as_picture(symbology: zxingcpp.BarcodeFormat, words: str = "W2|%s|X") -> Plant:
    def plant(copy: Copy, number: str) -> None:
        lay_code(copy, code_picture(words % number, symbology))

    return plant


def _turned(degrees: float) -> Plant:
    def plant(copy: Copy, number: str) -> None:
        picture = code_picture(f"W2|{number}|X", _FORMATS.PDF417)
        lay_code(copy, picture.rotate(degrees, expand=True, fillcolor=255))

    return plant


def _white_on_black(copy: Copy, number: str) -> None:
    lay_code(copy, ImageOps.invert(code_picture(f"W2|{number}|X", _FORMATS.QRCode)))


def _in_base64(copy: Copy, number: str) -> None:
    content = base64.b64encode(f"W2|{number}|X".encode()).decode()
    lay_code(copy, code_picture(content, _FORMATS.QRCode))


def _deflated(copy: Copy, number: str) -> None:
    lay_code(copy, code_picture(zlib.compress(f"W2|{number}|X".encode()), _FORMATS.PDF417))


def _percents(copy: Copy, number: str) -> None:
    coded = "".join(f"%{ord(char):02X}" for char in number)
    lay_code(copy, code_picture(f"https://example.test/?n={coded}", _FORMATS.DataMatrix))


def _drawn(symbology: zxingcpp.BarcodeFormat) -> Plant:
    """As rectangles, one for each run of dark cells in a row."""

    def plant(copy: Copy, number: str) -> None:
        code = code_picture(f"W2|{number}|X", symbology, scale=1)
        unit = min(250 / code.width, 160 / code.height, 3)
        white = b"1 g 0 0 %.2f %.2f re f 0 g " % (unit * code.width, unit * code.height)
        bars = [
            b"%.2f %.2f %.2f %.2f re f" % (left * unit, bottom * unit, width * unit, unit)
            for left, bottom, width in _runs(code)
        ]
        copy.show(white + b"\n".join(bars))

    return plant


def _runs(code: Image.Image) -> list[tuple[int, int, int]]:
    """Left, bottom and width of every dark run, in cells, y upward."""
    found: list[tuple[int, int, int]] = []
    cells = code.tobytes()
    for row in range(code.height):
        start = -1
        line = cells[row * code.width : (row + 1) * code.width] + b"\xff"
        for column, value in enumerate(line):
            if value < 128 and start < 0:
                start = column
            elif value >= 128 and start >= 0:
                found.append((start, code.height - 1 - row, column - start))
                start = -1
    return found


def _row(name: str, plant: Plant, told: Told = Told.UNKNOWN) -> Place:
    return Place(_FAMILY, name, plant, told, bare=told is Told.KNOWN)


_KNOWN = Told.KNOWN
PLACES = (
    _row("PDF417", _as_picture(_FORMATS.PDF417)),
    _row("QR", _as_picture(_FORMATS.QRCode), _KNOWN),
    _row("Data Matrix", _as_picture(_FORMATS.DataMatrix)),
    _row("Aztec", _as_picture(_FORMATS.Aztec), _KNOWN),
    _row("Code 128", _as_picture(_FORMATS.Code128, "%s"), _KNOWN),
    _row("Code 39", _as_picture(_FORMATS.Code39, "%s")),
    _row("lying on its side", _turned(90)),
    _row("standing on its head", _turned(180), _KNOWN),
    _row("aslant", _turned(4), _KNOWN),
    _row("white on black", _white_on_black),
    _row("Base64 in a code", _in_base64),
    _row("deflated in a code", _deflated, _KNOWN),
    _row("percents in a code", _percents),
    _row("drawn PDF417", _drawn(_FORMATS.PDF417)),
    _row("drawn QR", _drawn(_FORMATS.QRCode), _KNOWN),
    _row("drawn Code 128", _drawn(_FORMATS.Code128), _KNOWN),
)

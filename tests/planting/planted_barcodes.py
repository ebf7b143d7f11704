"""Barcodes that carry the planted number."""

import zxingcpp
from PIL import Image

SYMBOLOGIES = ["PDF417", "QRCode", "DataMatrix", "Aztec", "Code128", "Code39"]


def barcode(symbology: str, payload: str, scale: int = 4) -> Image.Image:
    made = zxingcpp.create_barcode(payload, zxingcpp.barcode_format_from_str(symbology))
    symbol = Image.fromarray(made.to_image(scale=scale)).convert("L")
    around = Image.new("L", (symbol.width + 160, symbol.height + 160), 255)
    around.paste(symbol, (80, 80))
    return around


def payloads_in(picture: Image.Image) -> list[str]:
    """What another run of the decoder reads, at several sizes."""
    found = []
    for factor in (1, 2):
        resized = picture.resize((picture.width * factor, picture.height * factor))
        found += [result.text for result in zxingcpp.read_barcodes(resized)]
    return found

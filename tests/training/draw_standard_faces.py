"""Draw the letters, digits and marks of six standard faces as PDFium draws them.

    python tests/training/draw_standard_faces.py [--out packets/outbound/standard_faces.bin]

To be done again where a newer PDFium draws them otherwise: a test tells.
"""

import argparse
from pathlib import Path

import pypdfium2
import pypdfium2.raw as pdfium_c

from packets.outbound.glyph_outlines import outline_of
from packets.outbound.hidden_digits import CHARACTERS, FACES, as_data


def drawn() -> bytes:
    """Every character in every face."""
    with pypdfium2.PdfDocument.new() as document:
        fonts = [pdfium_c.FPDFText_LoadStandardFont(document.raw, face) for face in FACES]
        return as_data([outline_of(font, char) for char in CHARACTERS for font in fonts])


if __name__ == "__main__":
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--out", type=Path, default=Path("packets/outbound/standard_faces.bin"))
    asked.parse_args().out.write_bytes(drawn())

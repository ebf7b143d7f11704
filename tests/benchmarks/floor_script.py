"""The floor: read every page's text with PDFium, and write the file anew with qpdf. Finds nothing.

Usage: python floor_script.py IN.pdf OUT.pdf
"""

import sys

import pikepdf
import pypdfium2


def main(source: str, target: str) -> None:
    """What no program that reads and rewrites a PDF can be much faster than."""
    document = pypdfium2.PdfDocument(source)
    for page in document:
        text = page.get_textpage()
        text.get_text_bounded()
        text.close()
        page.close()
    document.close()
    with pikepdf.open(source) as whole:
        whole.save(target, object_stream_mode=pikepdf.ObjectStreamMode.generate)


if __name__ == "__main__":
    main(*sys.argv[1:])

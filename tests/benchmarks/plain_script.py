"""What many offices run today: look for the number, cover it, apply, save. Nothing is checked.

Usage: python plain_script.py IN.pdf OUT.pdf NUMBER
"""

import sys

import pymupdf


def main(source: str, target: str, number: str) -> None:
    """Redact every place where `number` stands as it is written here."""
    with pymupdf.open(source) as document:
        for page in document:
            for box in page.search_for(number):
                page.add_redact_annot(box, text="XXX-XX-" + number[-4:], fontsize=8)
            page.apply_redactions()
        document.save(target, garbage=3, deflate=True)


if __name__ == "__main__":
    main(*sys.argv[1:])

"""Draws the two invented client folders. Same bytes each time.

    python sample_pdfs/make_samples.py [FOLDER]

Writes `joint-return/` and `single-filer/` beside this file, or into FOLDER. Everything in
them is invented, the numbers are never assigned, and the tax is worked out roughly. It is
not tax advice.
"""

import argparse
from collections.abc import Callable
from pathlib import Path

from making import (
    client_statements,
    folder_files,
    made_with,
    office_papers,
    pictures,
    printed_return,
    signature_art,
)

Maker = Callable[[], bytes]

FILES: dict[str, Maker] = {
    "made-with.toml": made_with.made_with,
    "joint-return/engagement.toml": folder_files.JOINT_ENGAGEMENT.encode,
    "joint-return/identifiers.toml": folder_files.JOINT_IDENTIFIERS.encode,
    "joint-return/signatures/grants.toml": folder_files.JOINT_GRANTS.encode,
    "joint-return/signatures/taxpayer.png": lambda: signature_art.ink_on_white("Dorothea Venn", 11),
    "joint-return/signatures/spouse.png": lambda: signature_art.ink_on_nothing("Casimir Venn", 23),
    "joint-return/signatures/ero.jpg": lambda: signature_art.ink_on_paper("Hester Brandt", 37),
    "joint-return/documents/2025-tax-return.pdf": printed_return.joint_return,
    "joint-return/documents/letter.pdf": office_papers.joint_letter,
    "joint-return/documents/invoice.pdf": office_papers.joint_invoice,
    "joint-return/documents/engagement-letter.pdf": office_papers.engagement_letter,
    "joint-return/documents/consent-to-disclose.pdf": office_papers.consent,
    "joint-return/documents/1099-int.pdf": client_statements.interest,
    "joint-return/documents/1099-div.pdf": client_statements.dividends,
    "joint-return/documents/1098.pdf": client_statements.mortgage,
    "joint-return/documents/voided-check.pdf": pictures.voided_check,
    "joint-return/documents/scan-0012.tif": pictures.receipts_scan,
    "joint-return/documents/w-2/aldertree-surveying.pdf": client_statements.surveyor_w2,
    "joint-return/documents/w-2/scan-0007.pdf": client_statements.library_w2,
    "joint-return/documents/identity/scan-0003.png": pictures.identity_card,
    "joint-return/documents/receipt/IMG_2041.jpg": pictures.receipt_photo,
    "single-filer/engagement.toml": folder_files.SINGLE_ENGAGEMENT.encode,
    "single-filer/identifiers.toml": folder_files.SINGLE_IDENTIFIERS.encode,
    "single-filer/signatures/grants.toml": folder_files.SINGLE_GRANTS.encode,
    "single-filer/signatures/taxpayer.png": lambda: signature_art.ink_on_white("Leander Pell", 5),
    "single-filer/signatures/ero.jpg": lambda: signature_art.ink_on_paper("Hester Brandt", 37),
    "single-filer/documents/2025-tax-return.pdf": printed_return.single_return,
    "single-filer/documents/form-8879.pdf": printed_return.single_authorization,
    "single-filer/documents/letter.pdf": office_papers.single_letter,
    "single-filer/documents/invoice.pdf": office_papers.single_invoice,
    "single-filer/documents/w-2/three-gables-bakery.pdf": client_statements.bakery_w2,
}
"""Each file of the folders, and what draws it."""


def make(root: Path) -> list[Path]:
    """Writes every file under `root`; `identifiers.toml` gets mode 0600."""
    written = []
    for name, maker in FILES.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(maker())
        if path.name == "identifiers.toml":
            path.chmod(0o600)
        written.append(path)
    return written


def main() -> None:
    """Reads the command line."""
    parser = argparse.ArgumentParser(description="Draw the invented client folders.")
    parser.add_argument("folder", nargs="?", type=Path, default=Path(__file__).parent)
    for path in make(parser.parse_args().folder):
        print(path)


if __name__ == "__main__":
    main()

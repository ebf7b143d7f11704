"""A client folder whose return is long and all text: figures, amounts, one number on each page."""

import io
import random
import textwrap
from pathlib import Path

from reportlab.lib.pagesizes import letter
from reportlab.pdfgen.canvas import Canvas

NUMBER = "666-12-3456"
LINES = 60
WORDS = (
    *("wages", "salaries", "tips", "interest", "dividends", "pensions", "annuities", "credits"),
    *("payments", "deductions", "depreciation", "rents", "royalties", "partnerships", "estates"),
    *("trusts", "adjustments", "withholding", "carryover"),
)


def write_client_folder(folder: Path, pages: int) -> Path:
    """Make a client folder with one return of so many pages; return the path of the return."""
    documents = folder / "documents"
    documents.mkdir(parents=True)
    (folder / "engagement.toml").write_text(
        textwrap.dedent(
            """\
            [engagement]
            id = "2025-0100"
            tax_year = 2025
            household = "Ottilie Marsh"
            email = "marsh@example.com"

            [[person]]
            role = "taxpayer"
            name = "Ottilie Marsh"

            [[document]]
            file = "documents/return.pdf"
            category = "form-1040"
            """
        ),
        encoding="utf-8",
    )
    identifiers = folder / "identifiers.toml"
    identifiers.write_text(
        f'[[identifier]]\nkind = "ssn"\nvalue = "{NUMBER}"\nholder = "taxpayer"\n',
        encoding="utf-8",
    )
    identifiers.chmod(0o600)
    path = documents / "return.pdf"
    path.write_bytes(return_pdf(pages))
    return path


def return_pdf(pages: int) -> bytes:
    """The return: ruled lines with a line number, words and an amount; same bytes every time."""
    target = io.BytesIO()
    canvas = Canvas(target, pagesize=letter, invariant=True)
    draw = random.Random(1)
    for page in range(1, pages + 1):
        _page(canvas, page, draw)
        canvas.showPage()
    canvas.save()
    return target.getvalue()


def _page(canvas: Canvas, page: int, draw: random.Random) -> None:
    canvas.setFont("Helvetica-Bold", 12)
    canvas.drawString(54, 750, f"Form 1040 (2025)   Statement {page}")
    canvas.setFont("Helvetica", 9)
    canvas.drawString(54, 734, "Name: Ottilie Marsh")
    canvas.drawString(330, 734, f"Your social security number  {NUMBER}")
    for line in range(1, LINES + 1):
        y = 728 - line * 11.2
        amount = draw.randrange(100, 9_999_999) / 100
        canvas.drawString(54, y, f"{line:>2}{'abc'[line % 3]}")
        canvas.drawString(84, y, " ".join(draw.choices(WORDS, k=7)))
        canvas.drawRightString(558, y, f"{amount:,.2f}")
        canvas.setLineWidth(0.3)
        canvas.line(54, y - 2, 558, y - 2)

"""Papers without a number to hide: none of them may be held, and none painted on."""

import random
from collections.abc import Callable
from functools import cache

import pymupdf
from PIL import Image, ImageDraw, ImageFilter
from scan_papers import SAMPLES, Ink, Paper, drawn, running


def _receipt() -> Paper:
    rows = [("Paper A4 5 reams", "24.95"), ("Toner cartridge", "89.00"), ("Stamps", "14.60"),
            ("Envelopes", "6.75"), ("Subtotal", "135.30"), ("Tax 7.25%", "9.81"),
            ("Total", "145.11"), ("Cash", "150.00"), ("Change", "4.89")]  # fmt: skip
    lines = [Ink(180, 80, "HARROW STATIONERS", "cobo", 14), Ink(180, 100, "14 Mill Lane", "cour"),
             Ink(180, 120, "2025-11-03 14:22  Till 4", "cour")]  # fmt: skip
    for k, (what, price) in enumerate(rows):
        lines += [Ink(180, 150 + 16 * k, what, "cour"), Ink(350, 150 + 16 * k, price, "cour")]
    return drawn("receipt", lines)


def _letter() -> Paper:
    text = (
        "We write to confirm our meeting on Thursday. Please bring the statements of both "
        "banks and the deed of the house. If you have sold shares during the year, bring the "
        "papers of the broker as well. Your social security number is not needed for this "
        "meeting. The office is closed on Friday, and opens again on Monday at nine. "
    )
    return drawn(
        "plain-letter", [Ink(72, 80, "Hollis & Wren", "tibo", 16), *running(text * 4, 120)]
    )


def _masked_wages() -> Paper:
    boxes = [(50, 60, 250, 100), (250, 60, 420, 100), (50, 100, 330, 150), (330, 60, 560, 100)]
    lines = [Ink(54, 70, "a Employee's social security number", "helv", 7),
             Ink(60, 92, "XXX-XX-8042", "cour", 12),
             Ink(254, 70, "OMB No. 1545-0008", "helv", 7),
             Ink(54, 110, "b Employer identification number (EIN)", "helv", 7),
             Ink(60, 132, "07-3009264", "cour", 12),
             Ink(334, 70, "1 Wages, tips, other compensation", "helv", 7),
             Ink(340, 92, "48210.77", "cour", 12),
             Ink(54, 250, "Form W-2 Wage and Tax Statement 2025", "hebo", 12)]  # fmt: skip
    return drawn("masked-wages", lines, boxes=boxes)


def _telephones() -> Paper:
    people = [("Reception", "614-555-0119"), ("Payroll", "(614) 555-0142"), ("Fax", "614.555.0160"),
              ("Mr. Dunmore", "1-800-555-0137"), ("Ms. Larkspur", "850-555-0166")]  # fmt: skip
    lines = [Ink(72, 90, "Telephone list", "hebo", 15)]
    for k, (who, number) in enumerate(people):
        lines += [
            Ink(72, 130 + 22 * k, who, "helv", 11),
            Ink(260, 130 + 22 * k, number, "helv", 11),
        ]
    return drawn("telephones", lines)


def _figures() -> Paper:
    lines = [Ink(72, 80, "Depreciation worksheet", "hebo", 14)]
    for row in range(18):
        for column in range(4):
            amount = f"{(row + 3) * (column + 7) * 1183 % 99991:,}.{(row * 37 + column) % 100:02}"
            lines.append(Ink(90 + 120 * column, 120 + 20 * row, amount, "helv", 10))
    return drawn("figures", lines)


def _envelope() -> Paper:
    lines = [Ink(60, 80, "Larkspur & Dunmore Tax Office"), Ink(60, 95, "127 Canal Street, Suite 2"),
             Ink(60, 110, "Millbrook Falls, OH 43100-0127"),
             Ink(280, 220, "Dorothea and Casimir Venn", "cour", 12),
             Ink(280, 236, "418 Thistledown Lane", "cour", 12),
             Ink(280, 252, "Millbrook Falls, OH 43200-0418", "cour", 12)]  # fmt: skip
    return drawn("envelope", lines)


def _dates() -> Paper:
    lines = [Ink(72, 80, "Dates to remember", "tibo", 15)]
    days = ("01/15/2026", "2026-03-03", "April 15, 2026", "06/15/2026", "10-15-2026", "12/31/2026")
    for k, day in enumerate(days):
        lines.append(
            Ink(90, 120 + 24 * k, f"Estimated payment {k + 1} is due on {day}.", "tiro", 12)
        )
    return drawn("dates", lines)


def _blank_form() -> Paper:
    """Labels that ask for numbers, with nothing filled in."""
    names = ("Your social security number", "Spouse's social security number", "TIN",
             "Account number", "Name", "Date")  # fmt: skip
    boxes = [(60, 90 + 40 * k, 400, 130 + 40 * k) for k in range(len(names))]
    lines = [Ink(64, 100 + 40 * k, name, "helv", 8) for k, name in enumerate(names)]
    return drawn("blank-form", [Ink(60, 70, "Client data sheet", "hebo", 14), *lines], boxes=boxes)


def _sample(name: str, file: str, page: int = 0) -> Paper:
    document = pymupdf.open(SAMPLES / "joint-return" / "documents" / file)
    document.select([page])
    document.bake()
    return Paper(name, document.tobytes(no_new_id=True), ())


def _picture_paper(name: str, draw: Callable[[], Image.Image]) -> Paper:
    picture = draw()
    document = pymupdf.open()
    page = document.new_page(width=612, height=792)
    pixels = pymupdf.Pixmap(pymupdf.csGRAY, *picture.size, picture.tobytes(), False)
    page.insert_image(page.rect, pixmap=pixels, keep_proportion=False)
    return Paper(name, document.tobytes(no_new_id=True), ())


def _landscape() -> Image.Image:
    """Hills and clouds: soft shapes and grain, no print."""
    seed = random.Random(11)
    picture = Image.linear_gradient("L").resize((850, 1100))
    pen = ImageDraw.Draw(picture)
    for _ in range(60):
        x, y, r = seed.randrange(850), seed.randrange(1100), seed.randrange(20, 220)
        pen.ellipse((x - r, y - r // 2, x + r, y + r // 2), fill=seed.randrange(256))
    soft = picture.filter(ImageFilter.GaussianBlur(9))
    grain = Image.frombytes("L", soft.size, seed.randbytes(850 * 1100))
    return Image.blend(soft, grain, 0.08)


def _signature() -> Image.Image:
    """A sheet with two scrawls."""
    seed = random.Random(5)
    picture = Image.new("L", (850, 1100), 255)
    pen = ImageDraw.Draw(picture)
    for top in (300, 520):
        x, y = 140.0, float(top)
        for _ in range(90):
            dx, dy = seed.uniform(-6, 14), seed.uniform(-26, 26)
            pen.line((x, y, x + dx, y + dy), fill=30, width=3)
            x, y = x + dx, min(max(y + dy, top - 60), top + 60)
    return picture


@cache
def controls() -> tuple[Paper, ...]:
    """All papers without a number."""
    return (
        _receipt(), _letter(), _masked_wages(), _telephones(), _figures(), _envelope(), _dates(),
        _blank_form(), drawn("blank-page", []),
        _sample("engagement-letter", "engagement-letter.pdf"),
        _sample("invoice", "invoice.pdf"), _sample("schedule-2", "2025-tax-return.pdf", 7),
        _picture_paper("photograph", _landscape), _picture_paper("signatures", _signature),
    )  # fmt: skip

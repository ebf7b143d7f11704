"""Papers that come as pictures: voided check, identity card, receipts."""

import io
import random

from PIL import Image, ImageDraw, ImageFilter

from making.cases import BINDERY
from making.numbers import (
    BANK_PHONE,
    CHECK_NUMBER,
    JOINT_ACCOUNT,
    JOINT_ROUTING,
    LANDLORD_SSN,
    LICENSE_NUMBER,
    RECEIPT_CARD,
    SCAN_CARD,
    VENN,
)
from making.pdf_book import PdfBook
from making.raster_sheet import RasterSheet, jpeg, scanned
from making.sheet import BLUE, GREY, Sheet

ORIENTATION = 0x0112
SCAN_DPI = 200


def voided_check() -> bytes:
    """A check marked VOID, as a PDF: routing and account number in the line at its foot."""
    s = PdfBook("Voided check", "Lowland Savings Bank")
    s.text(54, 730, "Attached for direct deposit", 11, "S")
    x, y, w, h = 54.0, 470.0, 504.0, 220.0
    s.rect(x, y, w, h, fill=(0.93, 0.96, 0.93), lw=1.0)
    for index in range(22):
        s.line(
            x + 4, y + 6 + 10 * index, x + w - 4, y + 6 + 10 * index, 0.3, color=(0.86, 0.92, 0.87)
        )
    for index, line in enumerate(
        (VENN.names, VENN.street, f"{VENN.city}, {VENN.state} 43200-0418")
    ):
        s.text(x + 16, y + h - 24 - 12 * index, line, 9.5, "T" if index == 0 else "S")
    s.text(x + w - 16, y + h - 24, CHECK_NUMBER, 12, "B", "r")
    s.text(x + w - 150, y + h - 58, "Date", 8)
    s.line(x + w - 128, y + h - 60, x + w - 16, y + h - 60)
    s.text(x + 16, y + h - 92, "Pay to the", 8)
    s.text(x + 16, y + h - 101, "order of", 8)
    s.line(x + 62, y + h - 103, x + w - 110, y + h - 103)
    s.text(x + w - 104, y + h - 100, "$", 12, "B")
    s.rect(x + w - 92, y + h - 106, 76, 18, fill=(1, 1, 1))
    s.line(x + 16, y + h - 130, x + w - 62, y + h - 130)
    s.text(x + w - 16, y + h - 128, "Dollars", 8, "R", "r")
    s.text(x + 16, y + 62, "Lowland Savings Bank", 11, "T")
    s.text(x + 16, y + 51, f"Millbrook Falls, OH   {BANK_PHONE}", 8, "S")
    s.text(x + 16, y + 32, "For", 8)
    s.line(x + 34, y + 30, x + 220, y + 30)
    s.line(x + 270, y + 30, x + w - 16, y + 30)
    s.text(x + 24, y + 12, f"|:{JOINT_ROUTING}|:   {JOINT_ACCOUNT}||'   {CHECK_NUMBER}", 13, "M")
    s.text(x + w / 2, y + h / 2 - 24, "VOID", 64, "B", "c", color=(0.55, 0.55, 0.6))
    s.text(54, 440, "Routing number", 9, "B")
    s.text(150, 440, JOINT_ROUTING, 10, "M")
    s.text(270, 440, "Account number", 9, "B")
    s.text(366, 440, JOINT_ACCOUNT, 10, "M")
    s.turn()
    return s.finish()


def identity_card() -> bytes:
    """A scanned identity card, in colour, as PNG with few colours."""
    dpi = 150
    s = RasterSheet(300, 212, dpi=dpi, paper=(0.97, 0.97, 0.96), mode="RGB")
    s.rect(24, 26, 252, 160, fill=(0.88, 0.93, 0.97), lw=1.0)
    s.rect(24, 158, 252, 28, fill=(0.16, 0.30, 0.50), lw=0)
    s.text(32, 167, "STATE OF OHIO", 13, "B", color=(1, 1, 1))
    s.text(268, 168, "IDENTIFICATION CARD", 8, "B", "r", color=(1, 1, 1))
    s.rect(32, 58, 72, 92, fill=(0.78, 0.82, 0.85), lw=0.6)
    _portrait(s, 68, 104)
    rows = (
        ("ID NO.", LICENSE_NUMBER),
        ("NAME", f"{VENN.last.upper()}, {VENN.taxpayer_first.upper()}"),
        ("ADDRESS", VENN.street.upper()),
        ("", f"{VENN.city.upper()}, OH 43200"),
        ("DOB", "04/18/1984"),
        ("ISSUED", "04/20/2023     EXPIRES  04/18/2027"),
    )
    y = 143.0
    for label, value in rows:
        s.text(112, y, label, 6, "B", color=BLUE)
        s.text(148, y, value, 8.2, "B" if label in ("ID NO.", "NAME") else "R", fit=124)
        y -= 15
    s.text(112, 40, f"SSN  {VENN.taxpayer_ssn}", 8.2, "R")
    s.text(32, 44, "Specimen: an invented card", 6, "I", color=(0.35, 0.35, 0.4))
    image = scanned(s.image, seed=418, angle=-0.6, noise=6)
    out = io.BytesIO()
    few = image.quantize(64, Image.Quantize.MEDIANCUT, dither=Image.Dither.NONE)
    few.save(out, "PNG", dpi=(dpi, dpi), optimize=True)
    return out.getvalue()


def _portrait(s: RasterSheet, x: float, y: float) -> None:
    """A head and shoulders without a face."""
    scale = s.dpi / 72
    draw = ImageDraw.Draw(s.image)

    def oval(cx: float, cy: float, rx: float, ry: float, ink: tuple[int, int, int]) -> None:
        top = (s.height - cy) * scale
        box = [(cx - rx) * scale, top - ry * scale, (cx + rx) * scale, top + ry * scale]
        draw.ellipse(box, fill=ink)

    oval(x, y - 34, 30, 22, (92, 104, 124))
    s.rect(33, 40, 71, 17.5, fill=(0.88, 0.93, 0.97), lw=0)
    oval(x, y + 10, 19, 25, (96, 74, 60))
    oval(x, y + 6, 15, 20, (208, 172, 148))


def _till_receipt(s: Sheet, card: str) -> None:
    """A shop's receipt on a narrow strip."""
    mid = s.width / 2
    y = s.height - 26
    for words, size in (
        ("PAPER & THREAD SUPPLY", 11.0),
        ("14 Canal Street", 8.5),
        ("Millbrook Falls, OH 43200", 8.5),
        ("614-555-0175", 8.5),
    ):
        s.text(mid, y, words, size, "B" if size > 10 else "R", "c")
        y -= 13
    s.line(12, y, s.width - 12, y, 0.6, (3, 2))
    y -= 14
    s.text(14, y, "06/14/2025   10:42", 8.5)
    s.text(s.width - 14, y, "No. 0088213", 8.5, "R", "r")
    y -= 18
    for words, amount in (
        ("Linen thread 18/3  x4", "31.80"),
        ("Davey board 26x38  x2", "44.50"),
        ("Wheat paste 500 g", "12.25"),
        ("Japanese tissue  x10", "57.00"),
    ):
        s.text(14, y, words, 9)
        s.text(s.width - 14, y, amount, 9, "R", "r")
        y -= 14
    s.line(12, y + 5, s.width - 12, y + 5, 0.6, (3, 2))
    for words, amount in (("Subtotal", "145.55"), ("Tax 7.5%", "10.92"), ("TOTAL", "156.47")):
        y -= 14
        s.text(14, y + 4, words, 9.5, "B" if words == "TOTAL" else "R")
        s.text(s.width - 14, y + 4, amount, 9.5, "B", "r")
    y -= 16
    spaced = " ".join(card[index : index + 4] for index in range(0, len(card), 4))
    s.text(14, y, "Card number", 9)
    s.text(s.width - 14, y, spaced, 9, "R", "r")
    s.text(14, y - 14, "Approved", 9)
    s.text(s.width - 14, y - 14, "AUTH 041820", 9, "R", "r")
    s.text(mid, y - 40, "Thank you", 9, "R", "c")


def receipt_photo() -> bytes:
    """A telephone's photo of a receipt: the sensor lay on its side, and EXIF says so."""
    strip = RasterSheet(230, 330, dpi=130, paper=(0.98, 0.98, 0.95), mode="RGB")
    _till_receipt(strip, RECEIPT_CARD)
    shade = (
        Image.linear_gradient("L")
        .resize(strip.image.size)
        .point([200 + v // 5 for v in range(256)])
    )
    paper = Image.composite(strip.image, Image.new("RGB", strip.image.size, (150, 148, 140)), shade)
    desk = _desk((760, 1010))
    turned = paper.convert("RGBA").rotate(2.2, Image.Resampling.BICUBIC, expand=True)
    at = ((desk.width - turned.width) // 2 + 12, (desk.height - turned.height) // 2)
    shadow = Image.new("L", turned.size, 0)
    shadow.paste(turned.getchannel("A").point([v // 2 for v in range(256)]))
    dark = Image.new("RGB", turned.size, (30, 22, 16))
    soft = shadow.filter(ImageFilter.GaussianBlur(5))
    desk.paste(dark, (at[0] + 8, at[1] + 10), soft)
    desk.paste(turned, at, turned)
    photo = scanned(desk, seed=614, angle=0.0, noise=14)
    # Orientation 6: the stored picture must be turned by a quarter clockwise to stand upright.
    exif = Image.Exif()
    exif[ORIENTATION] = 6
    stored = photo.transpose(Image.Transpose.ROTATE_90)
    return jpeg(stored, quality=72, dpi=72, exif=exif.tobytes())


def _desk(size: tuple[int, int]) -> Image.Image:
    """A wooden table: streaks along its length."""
    streaks = random.Random(7).randbytes(size[0] // 4)
    grain = Image.frombytes("L", (size[0] // 4, 1), streaks).filter(ImageFilter.BoxBlur(1))
    grain = grain.resize(size, Image.Resampling.BICUBIC)
    bands = [grain.point([base + v // 9 for v in range(256)]) for base in (120, 84, 52)]
    return Image.merge("RGB", bands)


def receipts_scan() -> bytes:
    """A scan of two sheets in one TIFF file, black and white."""
    first = RasterSheet(612, 792, dpi=SCAN_DPI)
    strip = RasterSheet(230, 330, dpi=SCAN_DPI * 4 // 3)
    _till_receipt(strip, SCAN_CARD)
    first.image.paste(strip.image, (round(150 * SCAN_DPI / 72), round(90 * SCAN_DPI / 72)))
    first.rect(150, 792 - 90 - 440, 307, 440, lw=0.6, color=GREY)
    second = RasterSheet(612, 792, dpi=SCAN_DPI)
    _rent_receipt(second)
    pages = [scanned(sheet.image, seed, 0.3, 0) for sheet, seed in ((first, 1), (second, 2))]
    flat = [page.point([0] * 150 + [255] * 106).convert("1") for page in pages]
    out = io.BytesIO()
    flat[0].save(
        out,
        "TIFF",
        save_all=True,
        append_images=flat[1:],
        compression="group4",
        dpi=(SCAN_DPI, SCAN_DPI),
    )
    return out.getvalue()


def _rent_receipt(s: Sheet) -> None:
    """A receipt for a workshop's rent, with the landlord's number under its label."""
    s.text(306, 700, "RECEIPT FOR RENT", 16, "B", "c")
    s.rect(90, 420, 432, 260, lw=0.8)
    lines = (
        ("Received from", VENN.taxpayer),
        ("For", "Workshop, 9 Canal Street, rear"),
        ("Period", "January to December 2025"),
        ("Amount paid", f"${BINDERY.expenses['20b']:,}.00"),
        ("Landlord", "Philippa Roake"),
        ("Landlord's SSN", LANDLORD_SSN),
        ("Telephone", "614-555-0188"),
    )
    y = 650.0
    for label, value in lines:
        s.text(106, y, label, 11)
        s.text(240, y, value, 12, "B" if "SSN" in label else "R")
        s.line(238, y - 4, 506, y - 4, 0.5)
        y -= 32

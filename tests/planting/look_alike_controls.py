"""Pages full of look-alikes: what must stay as it is, to the last pixel."""

import functools
import sys
from collections.abc import Callable
from pathlib import Path

import zxingcpp
from pikepdf import Name
from planted_barcodes import barcode
from planted_pages import sheet
from planted_pictures import flate, picture_sheet

sys.path.append(str(Path(__file__).parents[1] / "drawn"))

import drawn_samples

Control = Callable[[], bytes]


def lines(*texts: str, size: float = 9) -> bytes:
    """One line of Helvetica under the other."""
    shown = (text.replace("(", r"\(").replace(")", r"\)") for text in texts)
    body = " T* ".join(f"({text}) Tj" for text in shown)
    return sheet(f"BT /F1 {size} Tf {1.5 * size} TL 30 370 Td {body} ET".encode())


def table(*rows: tuple[str, ...], width: float = 70, size: float = 9) -> bytes:
    """Cells at equal distances."""
    cells = [
        f"1 0 0 1 {30 + width * column} {370 - 1.5 * size * row} Tm ({text}) Tj"
        for row, texts in enumerate(rows)
        for column, text in enumerate(texts)
    ]
    return sheet(f"BT /F1 {size} Tf {' '.join(cells)} ET".encode())


TEXTS: dict[str, tuple[str, ...]] = {
    "routing numbers": ("Routing number 076401251", "RTN: 111000025", "ABA no. 021000021"),
    "ZIP codes with four more": ("Springfield, ST 62704-1234", "ZIP code 20500-0003"),
    "telephones": ("Telephone (555) 010-0199", "Fax 555-555-0142", "Tel. 1-800-555-0100",
                   "Phone: 555.555.0177"),
    "OMB numbers and catalogue numbers": ("OMB No. 1545-0074", "Cat. No. 11320B",
                                          "Form 1099-INT (Rev. 01-2024)"),
    "amounts": ("Wages 123,456.78", "Tax 12,345.67 less 1,234,567.89", "Total $987,654.32",
                "(8,146.33)"),
    "dates": ("Presented 03/03/2026", "due 2026-04-15", "received 10 Feb 2026", "12-31-2025"),
    "an EFIN and an ETIN": ("EFIN 123456", "ETIN 12345"),
    "a PTIN": ("Preparer PTIN P01234567",),
    "invoices": ("Invoice no. 202600147", "Invoice number 2026-0147-33"),
    "form control numbers": ("Control number 000447788", "d Control number 4471-22-9031"),
    "order and reference numbers": ("Order number 114-5582013-99", "Reference no. 000445566"),
    "tracking numbers": ("Tracking number 1Z 999 AA1 01 2345 6784", "Trace no. 021000021000017"),
    "years": ("2019 2020 2021 2022 2023 2024 2025", "2023-2024, 2024-2025"),
    "page numbers": ("Page 1 of 21", "1 2 3 4 5 6 7 8 9 10 11 12", "pages 100, 12, 2024"),
    "lines of a form counted": ("1", "2", "3", "4", "5", "6", "7", "8", "9", "10"),
    "an ISBN": ("ISBN 978-3-16-148410-0", "ISSN 1234-5679"),
    "product codes": ("Part 77-1204-B", "Product code 0012-3456-78", "SKU A-4471"),
    "a submission": ("Submission ID 00000020260447712345", "DLN 00211-123-45678-6"),
    "numbers masked before": ("Taxpayer XXX-XX-3456 and spouse ***-**-3457", "EIN XX-XXX0017",
                              "Account XXXXXX0456"),
    "the last four": ("account ending in 3456", "SSN: last four 3456"),
    "software and versions": ("Software ID 00099887", "Version 2025.3.100.12"),
    "a state number": ("State ID number 12-345678", "Payer's state no. 0012345"),
    "a licence": ("Driver's license no. 112233445",),
    "industry and bank codes": ("NAICS 541213", "CUSIP 037833100"),
    "measures": ("0.062137119 miles to the tenth", "1,609.344 m", "98.7654320 %"),
}  # fmt: skip

ALIGNED = table(
    ("Wages", "Federal", "State"),
    *((f"{k}23,456.78", f"{k}2,345.67", f"{k},234.56") for k in range(1, 9)),
)
WHOLE_AMOUNTS = table(
    ("Box", "Amount", "Code"), *((str(k), f"{k}98,765", "12") for k in range(1, 9))
)
PHONES = table(*((f"(555) 010-0{k}99", f"555-555-0{k}42") for k in range(100, 108)), width=120)
YEARS = table(*((str(2015 + k), f"{k},500", f"{k},125") for k in range(9)))


def code(kind: zxingcpp.BarcodeFormat, payload: str) -> bytes:
    return drawn_samples.page_of(drawn_samples.code(payload, kind))


def stored_code() -> bytes:
    picture = barcode("QRCode", "https://example.org/thanks")
    placed = [b"%f 0 0 %f 10 60 cm" % (picture.width / 3, picture.height / 3)]
    return picture_sheet(lambda d: flate(d, picture, Name.DeviceGray), placed=placed)


def outlines(text: str) -> bytes:
    return drawn_samples.page_of(drawn_samples.outline(text) + "f\n")


OTHERS: dict[str, Control] = {
    "a table of amounts": lambda: ALIGNED,
    "a table of whole amounts": lambda: WHOLE_AMOUNTS,
    "a list of telephones": lambda: PHONES,
    "a list of years": lambda: YEARS,
    "a QR code with a link": functools.partial(
        code, zxingcpp.BarcodeFormat.QRCode, "https://example.org/thanks"
    ),
    "a stacked code with the form's name": functools.partial(
        code, zxingcpp.BarcodeFormat.PDF417, "FORM 1040 PAGE 1 OF 2"
    ),
    "a stored QR code with a link": stored_code,
    "outlines of words": functools.partial(outlines, "Sample Office"),
    "outlines of an amount": functools.partial(outlines, "1,234.00"),
    "a drawing": lambda: sheet(
        b" ".join(b"%d %d 30 12 re S" % (20 + 36 * (k % 10), 40 + 20 * (k // 10))
                  for k in range(120))
    ),
}  # fmt: skip
CONTROLS: dict[str, Control] = {
    **{name: functools.partial(lines, *texts) for name, texts in TEXTS.items()},
    **OTHERS,
}

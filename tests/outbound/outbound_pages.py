"""Small PDFs to plant something in."""

import io

import pikepdf
from pikepdf import Dictionary, Name, Stream
from reportlab.pdfgen import canvas


def page_pdf(text: str = "Dear client, here is your copy.") -> bytes:
    """One page with one line of text."""
    out = io.BytesIO()
    sheet = canvas.Canvas(out, pagesize=(612, 792), invariant=1)
    sheet.setFont("Helvetica", 11)
    sheet.drawString(72, 700, text)
    sheet.showPage()
    sheet.save()
    return out.getvalue()


def opened(text: str = "Dear client, here is your copy.") -> pikepdf.Pdf:
    return pikepdf.open(io.BytesIO(page_pdf(text)))


def saved(pdf: pikepdf.Pdf, **how: object) -> bytes:
    out = io.BytesIO()
    pdf.save(out, deterministic_id="encryption" not in how, **how)
    pdf.close()
    return out.getvalue()


def with_content(content: bytes, **resources: object) -> bytes:
    pdf = opened()
    page = pdf.pages[0]
    for key, value in resources.items():
        page.Resources[f"/{key}"] = value
    page.contents_add(Stream(pdf, content), prepend=False)
    return saved(pdf)


def helvetica(pdf: pikepdf.Pdf) -> pikepdf.Object:
    return pdf.make_indirect(
        Dictionary(
            Type=Name.Font,
            Subtype=Name.Type1,
            BaseFont=Name.Helvetica,
            Encoding=Name.WinAnsiEncoding,
        )
    )


def literal(text: str) -> bytes:
    return b"(" + text.encode("latin-1") + b")"


def appended(data: bytes, extra: bytes) -> bytes:
    return data.rstrip(b"\n") + b"\n" + extra

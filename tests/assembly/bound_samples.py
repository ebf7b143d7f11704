"""Small plain PDFs and bindings to assemble."""

from collections.abc import Sequence
from io import BytesIO

import pikepdf
import pypdf
import pypdfium2
from PIL import Image

from packets.assembly.records import AssembledPacket, Binding, BoundPages, BoundPart


def page_pdf(
    contents: Sequence[bytes | list[bytes]] = (b"BT /F0 12 Tf 72 400 Td (Sample) Tj ET",),
    *,
    box: tuple[float, ...] = (0, 0, 612, 792),
    crop: tuple[float, ...] | None = None,
    rotate: int = 0,
    unit: float | None = None,
) -> bytes:
    """One page for each content; all share one font."""
    pdf = pikepdf.new()
    font = pdf.make_indirect(
        pikepdf.Dictionary(
            Type=pikepdf.Name.Font, Subtype=pikepdf.Name.Type1, BaseFont=pikepdf.Name.Helvetica
        )
    )
    for content in contents:
        page = pikepdf.Dictionary(
            Type=pikepdf.Name.Page,
            MediaBox=list(box),
            Rotate=rotate,
            Resources=pikepdf.Dictionary(Font=pikepdf.Dictionary(F0=font)),
        )
        if crop:
            page.CropBox = pikepdf.Array(list(crop))
        if unit:
            page.UserUnit = unit
        page.Contents = (
            pikepdf.Array([pdf.make_stream(each) for each in content])
            if isinstance(content, list)
            else pdf.make_stream(content)
        )
        pdf.pages.append(pikepdf.Page(pdf.make_indirect(page)))
    file = BytesIO()
    pdf.save(file, deterministic_id=True)
    return file.getvalue()


def numbered_pdf(pages: int, word: str = "sheet") -> bytes:
    """Pages that say which they are."""
    return page_pdf(
        [f"BT /F0 12 Tf 72 600 Td ({word} {n}) Tj ET".encode() for n in range(1, pages + 1)]
    )


def bind(*parts: BoundPart, **changes: object) -> Binding:
    """A client binding."""
    given: dict[str, object] = {
        "title": "Your 2025 income tax return",
        "household": "Sample household",
        "tax_year": 2025,
        "engagement_id": "2025-0147",
        "audience": "client",
        "parts": parts,
        "stamp_text": "Client copy",
        "page_numbers": True,
    }
    return Binding(**(given | changes))  # type: ignore[arg-type]  # keywords by name


def one_part(pdf: bytes, pages: tuple[int, ...] = (1,), title: str = "Document") -> BoundPart:
    """A part that holds one document."""
    return BoundPart("Papers", (BoundPages(title, pdf, pages),))


def bare(pdf: bytes, **changes: object) -> Binding:
    """Only the first page of `pdf`, stamped; no sheets of ours."""
    return bind(one_part(pdf), cover_sheet=False, dividers=False, **changes)


def texts(packet: AssembledPacket) -> list[str]:
    """The text of each page as pypdf reads it."""
    return [page.extract_text() for page in pypdf.PdfReader(BytesIO(packet.pdf)).pages]


def shown(pdf: bytes, page: int = 0, scale: float = 2.0) -> Image.Image:
    """A page drawn by PDFium, in grey."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        return document[page].render(scale=scale, grayscale=True).to_pil().convert("L")
    finally:
        document.close()

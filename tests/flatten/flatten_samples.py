"""Small forms with every kind of field and annotation, and eyes to look at the result."""

import io
import warnings

import pikepdf
import pypdfium2
from pikepdf import Array, Dictionary, Name, String
from PIL import Image, ImageChops, ImageFilter

Rect = tuple[float, float, float, float]
PLACE: Rect = (50, 300, 250, 330)


def sheet(content: bytes = b"", pages: int = 1) -> pikepdf.Pdf:
    document = pikepdf.new()
    for _ in range(pages):
        page = document.add_blank_page(page_size=(400, 400))
        page.obj.Contents = document.make_stream(content)
        page.obj.Annots = Array()
    fonts = Dictionary()
    for name, face in (("Helv", "Helvetica"), ("Type", "Courier")):
        fonts["/" + name] = Dictionary(
            Type=Name.Font, Subtype=Name.Type1, BaseFont=Name("/" + face)
        )
    document.Root.AcroForm = document.make_indirect(
        Dictionary(Fields=Array(), DR=Dictionary(Font=fonts), DA=String("/Helv 0 Tf 0 g"))
    )
    return document


def annotate(document: pikepdf.Pdf, page: int = 1, **keys: object) -> pikepdf.Object:
    entries = {"Type": Name.Annot, "F": 4, "Rect": Array(PLACE), **keys}
    annotation = document.make_indirect(
        Dictionary(**{key: value for key, value in entries.items() if value is not None})
    )
    document.pages[page - 1].obj.Annots.append(annotation)
    return annotation


def add_field(
    document: pikepdf.Pdf, value: str | None = None, page: int = 1, **keys: object
) -> pikepdf.Object:
    entries: dict[str, object] = {
        "Subtype": Name.Widget,
        "FT": Name.Tx,
        "T": String(f"f{len(document.Root.AcroForm.Fields)}"),
        "DA": String("/Helv 12 Tf 0 g"),
    }
    if value is not None:
        entries["V"] = String(value)
    annotation = annotate(document, page, **{**entries, **keys})
    document.Root.AcroForm.Fields.append(annotation)
    return annotation


def look(document: pikepdf.Pdf, content: bytes, box: Rect = (0, 0, 200, 30)) -> pikepdf.Object:
    stream = document.make_stream(content)
    stream.Type, stream.Subtype, stream.BBox = Name.XObject, Name.Form, Array(box)
    stream.Resources = Dictionary(Font=document.Root.AcroForm.DR.Font)
    return stream


def words(document: pikepdf.Pdf, text: bytes) -> pikepdf.Object:
    return look(document, b"/Tx BMC q BT /Helv 12 Tf 2 9 Td (" + text + b") Tj ET Q EMC")


def as_bytes(document: pikepdf.Pdf) -> bytes:
    out = io.BytesIO()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # broken forms are the point of some samples
        document.save(out, deterministic_id=True)
    return out.getvalue()


def text_in(pdf: bytes, place: Rect | None = None, page: int = 0) -> str:
    """Page text without white space; only what lies in `place` where one is given."""
    with pypdfium2.PdfDocument(pdf) as document:
        text = document[page].get_textpage()
        found = text.get_text_bounded(*place) if place else text.get_text_range()
    return "".join(found.split())


def picture(pdf: bytes, page: int = 0, *, forms: bool = False) -> Image.Image:
    document = pypdfium2.PdfDocument(pdf)
    if forms:
        document.init_forms()
    sheet_of = document[page]
    shown = sheet_of.render(scale=2, may_draw_forms=forms).to_pil().convert("L")
    sheet_of.close()
    document.close()
    return shown


def dark_in(pdf: bytes, place: Rect, page: int = 0) -> int:
    """Dark pixels (at 144 dots an inch) in a place of a page 400 points high."""
    x0, y0, x1, y1 = place
    part = picture(pdf, page).crop((int(2 * x0), int(800 - 2 * y1), int(2 * x1), int(800 - 2 * y0)))
    return sum(part.histogram()[:128])


def difference(one: Image.Image, other: Image.Image) -> float:
    """Share of pixels that differ visibly; a shift of a point does not count."""
    soft = [shown.filter(ImageFilter.BoxBlur(5)) for shown in (one, other)]
    counts = ImageChops.difference(*soft).histogram()
    return sum(counts[40:]) / sum(counts)


def nothing_interactive(pdf: bytes) -> bool:
    with pikepdf.open(io.BytesIO(pdf)) as document:
        return "/AcroForm" not in document.Root and all(
            "/Annots" not in page.obj for page in document.pages
        )

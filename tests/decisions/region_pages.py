"""Pages with something to hide in a region, drawn in every way; all words are invented."""

import io
from collections.abc import Callable

import pikepdf
from PIL import Image, ImageDraw, ImageFont
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from packets.base.geometry import Box

WIDTH, HEIGHT = 612, 792
HIDDEN = "Quincunx 4711"
KEPT = ("above it", "below it", "left of it")
REGION = Box(195, 80, 330, 100)
"""About the hidden words of `text_page` and all that follow, on the page before it is turned."""


def canvas_pdf(draw: Callable[[Canvas], None]) -> bytes:
    target = io.BytesIO()
    canvas = Canvas(target, pagesize=(WIDTH, HEIGHT), invariant=True)
    draw(canvas)
    canvas.showPage()
    canvas.save()
    return target.getvalue()


def _neighbours(canvas: Canvas) -> None:
    canvas.drawString(200, 720, KEPT[0])
    canvas.drawString(200, 680, KEPT[1])
    canvas.drawString(100, 698, KEPT[2])


def text_page() -> bytes:
    def draw(canvas: Canvas) -> None:
        _neighbours(canvas)
        canvas.drawString(200, 698, HIDDEN)

    return canvas_pdf(draw)


def form_page() -> bytes:
    """All of it in a form XObject inside another one."""

    def draw(canvas: Canvas) -> None:
        canvas.beginForm("inner")
        _neighbours(canvas)
        canvas.drawString(200, 698, HIDDEN)
        canvas.endForm()
        canvas.beginForm("outer")
        canvas.doForm("inner")
        canvas.endForm()
        canvas.doForm("outer")

    return canvas_pdf(draw)


def invisible_page() -> bytes:
    """Text that no viewer shows, as behind a scan."""

    def draw(canvas: Canvas) -> None:
        _neighbours(canvas)
        text = canvas.beginText(200, 698)
        text.setTextRenderMode(3)
        text.textOut(HIDDEN)
        canvas.drawText(text)

    return canvas_pdf(draw)


def drawn_page() -> bytes:
    """A curve and a frame drawn as paths, partly in the region."""

    def draw(canvas: Canvas) -> None:
        _neighbours(canvas)
        path = canvas.beginPath()
        path.moveTo(210, 700)
        path.curveTo(240, 712, 250, 690, 300, 700)
        canvas.drawPath(path)
        canvas.line(90, 690, 400, 690)
        canvas.line(90, 640, 400, 640)

    return canvas_pdf(draw)


def lettered_picture(mode: str = "RGB") -> Image.Image:
    """A letter-size scan at 100 dpi with the same words at the same places."""
    picture = Image.new("L", (WIDTH * 100 // 72, HEIGHT * 100 // 72), "white")
    draw = ImageDraw.Draw(picture)
    font = ImageFont.load_default(size=15)
    for x, y, words in (
        (200, 720, KEPT[0]),
        (200, 680, KEPT[1]),
        (100, 698, KEPT[2]),
        (200, 698, HIDDEN),
    ):
        draw.text((x * 100 / 72, (HEIGHT - y - 9) * 100 / 72), words, fill="black", font=font)
    return picture.convert(mode)


def scan_page(mode: str = "RGB") -> bytes:
    return canvas_pdf(
        lambda canvas: canvas.drawImage(ImageReader(lettered_picture(mode)), 0, 0, WIDTH, HEIGHT)
    )


def jpeg_page() -> bytes:
    """The scan as a JPEG, as scanners write it."""
    picture, data = lettered_picture("L"), io.BytesIO()
    picture.save(data, "JPEG", quality=90)
    with pikepdf.new() as pdf:
        page = pdf.add_blank_page(page_size=(WIDTH, HEIGHT))
        stream = pikepdf.Stream(pdf, data.getvalue())
        stream.Type, stream.Subtype = pikepdf.Name.XObject, pikepdf.Name.Image
        stream.Width, stream.Height = picture.size
        stream.ColorSpace, stream.BitsPerComponent = pikepdf.Name.DeviceGray, 8
        stream.Filter = pikepdf.Name.DCTDecode
        page.obj.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(Im=stream))
        page.obj.Contents = pdf.make_stream(b"q 612 0 0 792 0 0 cm /Im Do Q")
        return saved(pdf)


def hidden_scan_page() -> bytes:
    """A scan whose words are covered, not removed."""

    def draw(canvas: Canvas) -> None:
        canvas.drawImage(ImageReader(lettered_picture()), 0, 0, WIDTH, HEIGHT)
        canvas.setFillGray(1)
        canvas.rect(100, 600, 400, 150, stroke=0, fill=1)

    return canvas_pdf(draw)


def stencil_page() -> bytes:
    """The scan as an image mask (ISO 32000-2, 8.9.6.2)."""
    picture = lettered_picture("1")
    with pikepdf.new() as pdf:
        page = pdf.add_blank_page(page_size=(WIDTH, HEIGHT))
        stream = pdf.make_stream(picture.tobytes())
        stream.Type, stream.Subtype = pikepdf.Name.XObject, pikepdf.Name.Image
        stream.Width, stream.Height = picture.size
        stream.ImageMask, stream.BitsPerComponent = True, 1
        page.obj.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(Im=stream))
        page.obj.Contents = pdf.make_stream(b"q 612 0 0 792 0 0 cm 0 g /Im Do Q")
        return saved(pdf)


def inline_page() -> bytes:
    """The scan as an inline picture."""
    picture = lettered_picture("L").resize((306, 396))
    with pikepdf.new() as pdf:
        page = pdf.add_blank_page(page_size=(WIDTH, HEIGHT))
        head = b"q 612 0 0 792 0 0 cm BI /W 306 /H 396 /CS /G /BPC 8 /F /AHx ID "
        data = picture.tobytes().hex().encode() + b">"
        page.obj.Contents = pdf.make_stream(head + data + b" EI Q")
        return saved(pdf)


def turned(pdf: bytes, degrees: int, *, cropped: bool = False, unit: float = 1.0) -> bytes:
    """The page with /Rotate, and with a crop box or user unit where asked."""
    with pikepdf.open(io.BytesIO(pdf)) as document:
        page = document.pages[0].obj
        page.Rotate = degrees
        if cropped:
            page.CropBox = [40, 60, 560, 780]
        if unit != 1.0:
            page.UserUnit = unit
        return saved(document)


def saved(document: pikepdf.Pdf) -> bytes:
    target = io.BytesIO()
    document.save(target, deterministic_id=True)
    return target.getvalue()


def as_shown(box: Box, degrees: int, *, cropped: bool = False, unit: float = 1.0) -> Box:
    """Where a box of the unturned page stands on the page as it is shown."""
    left, top = (40, HEIGHT - 780) if cropped else (0, 0)
    width, height = (520, 720) if cropped else (WIDTH, HEIGHT)
    x0, y0, x1, y1 = box.x0 - left, box.y0 - top, box.x1 - left, box.y1 - top
    corners = {
        0: (x0, y0, x1, y1),
        90: (height - y1, x0, height - y0, x1),
        180: (width - x1, height - y1, width - x0, height - y0),
        270: (y0, width - x1, y1, width - x0),
    }[degrees]
    return Box(*(corner * unit for corner in corners))

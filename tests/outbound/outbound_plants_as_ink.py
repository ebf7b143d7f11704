"""Hiding places that only the pixels, or a font's own map, tell: outlines, bars, masks, codes."""

import io
import zlib
from collections.abc import Callable

import pikepdf
import pymupdf
import zxingcpp
from outbound_pages import helvetica, opened, saved
from outbound_plants_in_pictures import picture_of
from pikepdf import Array, Dictionary, Name, Stream, String
from PIL import Image, ImageOps

PLACES: dict[str, Callable[[str], bytes]] = {}


def place(maker: Callable[[str], bytes]) -> Callable[[str], bytes]:
    PLACES[maker.__name__] = maker
    return maker


def grey_image(pdf: pikepdf.Pdf, picture: Image.Image, **more: object) -> pikepdf.Object:
    image = Stream(pdf, b"")
    image.write(zlib.compress(picture.convert("L").tobytes()), filter=Name.FlateDecode)
    image.update(
        Dictionary(
            Type=Name.XObject,
            Subtype=Name.Image,
            Width=picture.width,
            Height=picture.height,
            ColorSpace=Name.DeviceGray,
            BitsPerComponent=8,
            **more,
        )
    )
    return pdf.make_indirect(image)


def drawn(pdf: pikepdf.Pdf, images: list[pikepdf.Object], content: bytes) -> bytes:
    page = pdf.pages[0]
    page.Resources.XObject = Dictionary({f"/Im{n}": image for n, image in enumerate(images)})
    page.contents_add(Stream(pdf, content), prepend=False)
    return saved(pdf)


@place
def picture_that_no_page_shows(text: str) -> bytes:
    pdf = opened()
    return drawn(pdf, [grey_image(pdf, picture_of(f"Number {text} on file"))], b"")


@place
def soft_mask_of_a_black_picture(text: str) -> bytes:
    pdf = opened()
    shape = ImageOps.invert(picture_of(f"Number {text} on file"))
    mask = grey_image(pdf, shape)
    image = grey_image(pdf, Image.new("L", shape.size, 0), SMask=mask)
    return drawn(pdf, [image], b"q 250 0 0 50 72 400 cm /Im0 Do Q")


@place
def stencil(text: str) -> bytes:
    pdf = opened()
    picture = picture_of(f"Number {text} on file").point(lambda value: 255 * (value > 127))
    image = Stream(pdf, b"")
    image.write(zlib.compress(picture.convert("1").tobytes()), filter=Name.FlateDecode)
    size = {"Width": picture.width, "Height": picture.height}
    kind = {"Type": Name.XObject, "Subtype": Name.Image, "ImageMask": True}
    image.update(Dictionary(BitsPerComponent=1, **kind, **size))
    return drawn(pdf, [pdf.make_indirect(image)], b"q 0 g 250 0 0 50 72 400 cm /Im0 Do Q")


@place
def picture_cut_in_strips(text: str) -> bytes:
    pdf = opened()
    whole = picture_of(f"Number {text} on file")
    strips = [whole.crop((0, top, 1000, top + 25)) for top in range(0, 200, 25)]
    content = b"".join(
        b"q 250 0 0 6.25 72 %.2f cm /Im%d Do Q\n" % (450 - 6.25 * n, n) for n in range(8)
    )
    return drawn(pdf, [grey_image(pdf, strip) for strip in strips], content)


@place
def drawn_outlines(text: str) -> bytes:
    with pymupdf.open() as written:
        page = written.new_page(width=612, height=792)
        page.insert_text((72, 300), f"Number {text} on file", fontsize=14)
        svg = page.get_svg_image(text_as_path=True)
    with pymupdf.open("svg", svg.encode()) as outlines:
        data = outlines.convert_to_pdf()
    pdf = pikepdf.open(io.BytesIO(data))
    return saved(pdf)


@place
def drawn_bar_code(text: str) -> bytes:
    code = zxingcpp.create_barcode(f"W2|{text}|X", zxingcpp.BarcodeFormat.PDF417)
    view = memoryview(zxingcpp.write_barcode_to_image(code, scale=1))
    height, width = view.shape[:2]
    bits = view.tobytes()
    content = [b"0 g"]
    for row in range(height):
        start = None
        for column in range(width + 1):
            dark = column < width and bits[row * width + column] < 128
            if dark and start is None:
                start = column
            if not dark and start is not None:
                content.append(
                    b"%d %.1f %d 1.5 re f" % (72 + start, 500 - 1.5 * row, column - start)
                )
                start = None
    pdf = opened()
    return drawn(pdf, [], b"\n".join(content))


@place
def font_that_draws_its_letters(text: str) -> bytes:
    """A Type 3 font whose codes say nothing: each letter is a small stencil."""
    pdf = opened()
    procedures, differences = {}, [0]
    for code, char in enumerate(text):
        cell = picture_of(char, (120, 160)).point(lambda value: 255 * (value > 127)).convert("1")
        head = (
            b"1000 0 0 0 1000 1333 d1 q 1000 0 0 1333 0 0 cm BI /W 120 /H 160 /IM true /BPC 1 ID "
        )
        procedures[f"/g{code}"] = pdf.make_stream(head + cell.tobytes() + b"\nEI Q")
        differences.append(Name(f"/g{code}"))
    font = Dictionary(
        Type=Name.Font,
        Subtype=Name.Type3,
        FontBBox=[0, 0, 1000, 1333],
        FontMatrix=[0.001, 0, 0, 0.001, 0, 0],
        CharProcs=Dictionary(procedures),
        Encoding=Dictionary(Type=Name.Encoding, Differences=Array(differences)),
        FirstChar=0,
        LastChar=len(text) - 1,
        Widths=[400] * len(text),
    )
    pdf.pages[0].Resources.Font["/F9"] = pdf.make_indirect(font)
    codes = bytes(range(len(text))).hex().encode()
    return drawn(pdf, [], b"BT /F9 30 Tf 72 400 Td <" + codes + b"> Tj ET")


def coded_font(pdf: pikepdf.Pdf) -> pikepdf.Object:
    """A font with two-byte codes: each letter's code is its own plus 0x0300."""
    cmap = (
        b"/CIDInit /ProcSet findresource begin begincmap\n"
        b"1 begincodespacerange <0000> <ffff> endcodespacerange\n"
        b"1 beginbfrange <0320> <037e> <0020> endbfrange\nendcmap end"
    )
    inner = Dictionary(
        Type=Name.Font,
        Subtype=Name.CIDFontType2,
        BaseFont=Name("/ABCDEF+Sans"),
        CIDSystemInfo=Dictionary(
            Registry=String("Adobe"), Ordering=String("Identity"), Supplement=0
        ),
        FontDescriptor=pdf.make_indirect(
            Dictionary(Type=Name.FontDescriptor, FontName=Name("/ABCDEF+Sans"), Flags=4)
        ),
    )
    return pdf.make_indirect(
        Dictionary(
            Type=Name.Font,
            Subtype=Name.Type0,
            BaseFont=Name("/ABCDEF+Sans"),
            Encoding=Name("/Identity-H"),
            DescendantFonts=Array([pdf.make_indirect(inner)]),
            ToUnicode=pdf.make_indirect(Stream(pdf, cmap)),
        )
    )


@place
def font_codes_in_a_form_never_drawn(text: str) -> bytes:
    pdf = opened()
    codes = "".join(f"03{ord(char):02x}" for char in text).encode()
    form = Stream(pdf, b"BT /F2 10 Tf 10 10 Td <" + codes + b"> Tj ET")
    resources = Dictionary(Font=Dictionary(F1=helvetica(pdf), F2=coded_font(pdf)))
    kind = {"Type": Name.XObject, "Subtype": Name.Form}
    form.update(Dictionary(BBox=[0, 0, 300, 30], Resources=resources, **kind))
    pdf.pages[0].Resources.XObject = Dictionary(Fm1=pdf.make_indirect(form))
    return saved(pdf)

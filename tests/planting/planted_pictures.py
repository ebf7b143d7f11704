"""Pictures in which one number is drawn, in every coding that PDF has for them."""

import io
import struct
import zlib
from collections.abc import Sequence

import pikepdf
from pikepdf import Array, Dictionary, Name, Object, String
from PIL import Image, ImageDraw, ImageFont, ImageOps
from planted_pages import NUMBER, as_bytes, blank_sheet

SIZE = (900, 300)
WORDS = f"SSN {NUMBER}"
DIGITS_AT = (60, 100)
INK = 60


def drawn(mode: str = "L", words: str = WORDS, size: tuple[int, int] = SIZE) -> Image.Image:
    """Dark words on light paper, large enough for any reader."""
    grey = Image.new("L", size, 235)
    draw = ImageDraw.Draw(grey)
    draw.text(DIGITS_AT, words, font=ImageFont.load_default(size=70), fill=20)
    draw.text(
        (60, 220), "of the taxpayer named here", font=ImageFont.load_default(size=36), fill=20
    )
    if mode == "1":
        return grey.point(lambda value: 255 * (value > 128)).convert("1")
    if mode == "RGB":
        return ImageOps.colorize(grey, (30, 30, 90), (250, 245, 230))
    if mode == "CMYK":
        return ImageOps.colorize(grey, (0, 0, 0), (255, 255, 240)).convert("CMYK")
    return grey


def small() -> Image.Image:
    """A few shades of grey that show nothing."""
    return Image.frombytes("L", (12, 12), bytes(range(100, 244)))


def stored(document: pikepdf.Pdf, data: bytes, size: tuple[int, int], **keys: object) -> Object:
    image = document.make_stream(data)
    image.Type, image.Subtype = Name.XObject, Name.Image
    image.Width, image.Height = size
    image.BitsPerComponent = 8
    for key, value in keys.items():
        image["/" + key] = value
    return image


def flate(document: pikepdf.Pdf, picture: Image.Image, space: object, **keys: object) -> Object:
    data = zlib.compress(picture.tobytes())
    return stored(document, data, picture.size, ColorSpace=space, Filter=Name.FlateDecode, **keys)


def jpeg(document: pikepdf.Pdf, picture: Image.Image, **options: object) -> Object:
    out = io.BytesIO()
    picture.save(out, "JPEG", **{"quality": 80, **options})
    spaces = {"L": Name.DeviceGray, "RGB": Name.DeviceRGB, "CMYK": Name.DeviceCMYK}
    keys: dict[str, object] = {"ColorSpace": spaces[picture.mode], "Filter": Name.DCTDecode}
    if picture.mode == "CMYK":
        keys["Decode"] = Array([1, 0] * 4)  # such files hold their inks inverted
    return stored(document, out.getvalue(), picture.size, **keys)


def fax_coded(picture: Image.Image) -> tuple[bytes, bool]:
    """The one strip of a Group 4 TIFF, and whether 0 is white in it."""
    out = io.BytesIO()
    picture.save(out, "TIFF", compression="group4", tiffinfo={278: picture.height, 262: 0})
    with Image.open(io.BytesIO(out.getvalue())) as tiff:
        start, count, flipped = tiff.tag_v2[273][0], tiff.tag_v2[279][0], tiff.tag_v2[262] == 0
    return out.getvalue()[start : start + count], flipped


def jbig2(document: pikepdf.Pdf, picture: Image.Image | None = None) -> Object:
    """One generic region in MMR coding (ISO/IEC 14492, 6.2.6), which is Group 4."""
    picture = picture or drawn("1")
    data, _ = fax_coded(picture)
    size = struct.pack(">II", *picture.size)
    page = size + bytes(8) + b"\0" + bytes(2)
    region = size + bytes(8) + b"\0" + b"\x01" + data
    stream = b"".join(
        struct.pack(">IBBBI", number, kind, 0, 1, len(body)) + body
        for number, (kind, body) in enumerate(((48, page), (38, region)))
    )
    made = stored(
        document, stream, picture.size, ColorSpace=Name.DeviceGray, Filter=Name.JBIG2Decode
    )
    made.BitsPerComponent = 1
    return made


def group_four(document: pikepdf.Pdf, picture: Image.Image, **keys: object) -> Object:
    data, flipped = fax_coded(picture)
    parameters = Dictionary(K=-1, Columns=picture.width, Rows=picture.height, BlackIs1=not flipped)
    made = stored(
        document,
        data,
        picture.size,
        Filter=Name.CCITTFaxDecode,
        DecodeParms=parameters,
        **{"ColorSpace": Name.DeviceGray, **keys},
    )
    made.BitsPerComponent = 1
    return made


def jpeg_2000(document: pikepdf.Pdf, picture: Image.Image) -> Object:
    out = io.BytesIO()
    picture.save(out, "JPEG2000", irreversible=True, quality_mode="dB", quality_layers=[45])
    made = stored(document, out.getvalue(), picture.size, Filter=Name.JPXDecode)
    del made["/BitsPerComponent"]
    return made


def palette(document: pikepdf.Pdf, *, bits: int = 8) -> Object:
    few = drawn("RGB").quantize(4)
    colours = bytes(few.getpalette()[:12])
    data = few.tobytes()
    if bits == 4:
        data = bytes(a << 4 | b for a, b in zip(data[::2], data[1::2], strict=True))
    space = Array([Name.Indexed, Name.DeviceRGB, 3, String(colours)])
    made = stored(
        document, zlib.compress(data), few.size, ColorSpace=space, Filter=Name.FlateDecode
    )
    made.BitsPerComponent = bits
    return made


def one_bit_flate(document: pikepdf.Pdf, **keys: object) -> Object:
    made = flate(document, drawn("1"), Name.DeviceGray, **keys)
    made.BitsPerComponent = 1
    return made


def stencil(document: pikepdf.Pdf, *, coded: bool = False) -> Object:
    """A stencil paints where its bits are 0: the words."""
    picture = drawn("1")
    made = group_four(document, picture) if coded else one_bit_flate(document)
    del made["/ColorSpace"]
    made.ImageMask = True
    return made


def words_in_soft_mask(document: pikepdf.Pdf) -> Object:
    """A black picture; only its soft mask says where it is seen."""
    alpha = document.make_indirect(flate(document, ImageOps.invert(drawn()), Name.DeviceGray))
    black = Image.new("RGB", SIZE, (0, 0, 0))
    return flate(document, black, Name.DeviceRGB, SMask=alpha)


def with_soft_mask(document: pikepdf.Pdf) -> Object:
    alpha = document.make_indirect(flate(document, Image.new("L", SIZE, 230), Name.DeviceGray))
    return flate(document, drawn("RGB"), Name.DeviceRGB, SMask=alpha)


def picture_sheet(
    make: object,
    *,
    placed: Sequence[bytes] = (b"300 0 0 100 50 200 cm",),
    keys: dict[str, object] | None = None,
    before: bytes = b"",
) -> bytes:
    """One page that draws one picture, once for each placement matrix."""
    document = blank_sheet()
    page = document.pages[0].obj
    image = document.make_indirect(make(document))
    page.Resources = Dictionary(XObject=Dictionary(Im1=image))
    page.Contents = document.make_stream(
        before + b" ".join(b"q " + matrix + b" /Im1 Do Q" for matrix in placed)
    )
    for key, value in (keys or {}).items():
        page[key] = value
    return as_bytes(document)

"""Stored pictures out of a PDF and back into it, in the coding in which they came.

The old stream is replaced as a whole; nothing of it stays. A JPEG goes back
with its own quantisation tables, so that it keeps its quality and its size; a
1-bit scan goes back as CCITT Group 4; all else without loss, a stencil too: it
may only mask another picture, and is then read by those who know no fax coding.
The colour space stays wherever the samples still fit it.
"""

import io
import zlib
from collections.abc import Callable
from dataclasses import dataclass

import pikepdf
from pikepdf import Array, Dictionary, Name
from PIL import Image, ImageChops
from PIL.TiffImagePlugin import TiffImageFile

from packets.base.errors import OurFault
from packets.signatures.form_fields import whole

_KEEP = ("/Length", "/Type", "/Subtype", "/Interpolate", "/Intent", "/SMask", "/Mask")
_COMPONENTS = {"1": 1, "L": 1, "RGB": 3, "CMYK": 4}
_MODES = {"/DeviceGray": "L", "/DeviceRGB": "RGB", "/DeviceCMYK": "CMYK"}
_DEVICE = {1: Name.DeviceGray, 3: Name.DeviceRGB, 4: Name.DeviceCMYK}


class UnknownCoding(Exception):
    """The picture cannot be taken out of the PDF as pixels."""


@dataclass(frozen=True)
class StoredPicture:
    """A picture's pixels, and what must be known to put them back."""

    picture: Image.Image
    """In a mode that can be painted on: 1, L, RGB or CMYK."""
    space: pikepdf.Object | None
    """The colour space its samples are in; None for a stencil."""
    raw: bool
    """Whether the samples are as stored, so that /Decode still applies to them."""


@dataclass(frozen=True)
class _Coded:
    data: bytes
    filter: Name
    parameters: Dictionary | None


def stored_picture(
    image: pikepdf.Stream, other_way: Callable[[], Image.Image | None]
) -> StoredPicture:
    """The pixels of a stored picture.

    `other_way` gives them for codings that pikepdf does not know, or None.
    """
    if _filters(image) == ["/DCTDecode"]:
        jpeg = _jpeg_as_stored(image)
        if jpeg is not None:
            return StoredPicture(jpeg, _space(image, jpeg.mode, tints=True), raw=True)
    picture = _high_bytes(image) or _decoded(image)
    tints = picture is not None
    if picture is None:
        picture = other_way()
        if picture is None:
            raise UnknownCoding
        if image.get("/BitsPerComponent") == 1 or image.get("/ImageMask"):
            picture = picture.convert("L").point(lambda value: 255 * (value > 127)).convert("1")
    if picture.mode not in _COMPONENTS:
        picture = picture.convert("L" if picture.mode in ("LA", "I", "I;16", "F") else "RGB")
    if isinstance(image.get("/Mask"), Array) and _is_indexed(image):
        raise UnknownCoding  # its colour key names places in the palette, which goes
    return StoredPicture(picture, _space(image, picture.mode, tints=tints), raw=False)


def put_back(image: pikepdf.Stream, stored: StoredPicture, picture: Image.Image) -> None:
    """Replace the stored picture by `picture`, which has its mode and its size in pixels."""
    stencil = bool(image.get("/ImageMask", False))
    if picture.mode == "1" and stencil:
        coded = _Coded(zlib.compress(picture.tobytes(), 9), Name.FlateDecode, None)
    elif picture.mode == "1":
        coded = _group4(picture)
    elif any(name in ("/DCTDecode", "/JPXDecode") for name in _filters(image)):
        coded = _jpeg(picture, _jpeg_settings(image))
    else:
        coded = _flate(picture)
    kept = (*_KEEP, "/Decode") if stored.raw else _KEEP
    for key in [str(key) for key in image.keys()]:  # noqa: SIM118 - a pikepdf object, not a dict
        if key not in kept:
            del image[key]
    image.BitsPerComponent = 1 if picture.mode == "1" else 8
    if stencil:
        image.ImageMask = True
    else:
        image.ColorSpace = stored.space or _DEVICE[_COMPONENTS[picture.mode]]
    image.Width, image.Height = picture.width, picture.height
    image.write(coded.data, filter=coded.filter, decode_parms=coded.parameters)


def _filters(image: pikepdf.Object) -> list[str]:
    value = image.get("/Filter")
    if value is None:
        return []
    return [str(item) for item in value] if isinstance(value, Array) else [str(value)]


def _jpeg_as_stored(image: pikepdf.Stream) -> Image.Image | None:
    """Its samples as coded; None for four inks without the mark that says how they are kept."""
    try:
        with Image.open(io.BytesIO(image.read_raw_bytes()), formats=("JPEG",)) as source:
            source.load()
            usable = source.mode in ("L", "RGB") or (
                source.mode == "CMYK" and "adobe" in source.info
            )
            return source.copy() if usable else None
    except (OSError, ValueError, SyntaxError, pikepdf.PdfError):
        return None


def _decoded(image: pikepdf.Stream) -> Image.Image | None:
    try:
        return pikepdf.PdfImage(image).as_pil_image()
    except (pikepdf.PdfError, NotImplementedError, ValueError, OSError, TypeError, KeyError):
        return None
    except Exception as error:  # pikepdf's picture errors share no base with PdfError
        if type(error).__module__.startswith("pikepdf"):
            return None
        raise


def _high_bytes(image: pikepdf.Stream) -> Image.Image | None:
    """A picture of sixteen bits a sample with the upper eight of each; None: it is none."""
    width, height, bits = (
        whole(image.get(key)) for key in ("/Width", "/Height", "/BitsPerComponent")
    )
    mode = _MODES.get(str(image.get("/ColorSpace")))
    if bits != 16 or mode is None or "/Decode" in image or width is None or height is None:
        return None
    try:
        return Image.frombytes(mode, (width, height), bytes(image.read_bytes())[::2])
    except (pikepdf.PdfError, ValueError):
        return None


def _is_indexed(image: pikepdf.Object) -> bool:
    space = image.get("/ColorSpace")
    return isinstance(space, Array) and len(space) > 1 and space[0] == Name.Indexed


def _space(image: pikepdf.Object, mode: str, *, tints: bool = False) -> pikepdf.Object | None:
    """The picture's own colour space, or that of its palette, if samples of `mode` fit it.

    `tints`: the samples are those stored, so that they say how much of an ink there is.
    """
    space = image.get("/ColorSpace")
    if tints and isinstance(space, Array) and len(space) == 4 and space[0] == Name.Separation:
        return space if mode in ("1", "L") else None
    if _is_indexed(image):
        space = space[1]  # type: ignore[index]  # an array, as was just seen
    if isinstance(space, Array) and len(space) > 1 and space[0] == Name.ICCBased:
        fits = space[1].get("/N") == _COMPONENTS[mode]
    else:
        plain = space[0] if isinstance(space, Array) and len(space) else space
        names = {"/DeviceGray": 1, "/CalGray": 1, "/DeviceRGB": 3, "/CalRGB": 3, "/DeviceCMYK": 4}
        fits = names.get(str(plain)) == _COMPONENTS[mode]
    return space if fits else None


@dataclass(frozen=True)
class _JpegSettings:
    tables: dict[int, list[int]]
    sampling: int | str
    progressive: bool


def _jpeg_settings(image: pikepdf.Object) -> _JpegSettings | None:
    try:
        with Image.open(io.BytesIO(image.read_raw_bytes()), formats=("JPEG",)) as source:
            tables = getattr(source, "quantization", None)
            layers = getattr(source, "layer", None) or []
            progressive = bool(source.info.get("progressive"))
    except (OSError, pikepdf.PdfError):
        return None
    if not tables or len(tables) > 4:
        return None
    sampling = {(2, 2): "4:2:0", (2, 1): "4:2:2"}.get(tuple(layers[0][1:3]) if layers else (), 0)
    return _JpegSettings(dict(tables), sampling, progressive)


def _jpeg(picture: Image.Image, settings: _JpegSettings | None) -> _Coded:
    out = io.BytesIO()
    if settings is not None:
        picture.save(
            out, "JPEG", qtables=settings.tables, subsampling=settings.sampling,
            progressive=settings.progressive, optimize=True,
        )  # fmt: skip
    else:
        picture.save(out, "JPEG", quality=92, optimize=True)
    return _Coded(out.getvalue(), Name.DCTDecode, None)


def _flate(picture: Image.Image) -> _Coded:
    colours = len(picture.getbands())
    parameters = Dictionary(Predictor=15, Colors=colours, BitsPerComponent=8, Columns=picture.width)
    return _Coded(zlib.compress(_with_up_predictor(picture), 9), Name.FlateDecode, parameters)


def _with_up_predictor(picture: Image.Image) -> bytes:
    """PNG filter 2 on each row (ISO 32000-2, 7.4.4.4): differences to the row above."""
    above = Image.new(picture.mode, picture.size)
    above.paste(picture, (0, 1))
    data = ImageChops.subtract_modulo(picture, above).tobytes()
    row = picture.width * len(picture.getbands())
    return b"".join(b"\x02" + data[start : start + row] for start in range(0, len(data), row))


def _group4(picture: Image.Image) -> _Coded:
    """CCITT Group 4 (ISO 32000-2, 7.4.6), taken from the one strip of a TIFF."""
    out = io.BytesIO()
    picture.save(out, "TIFF", compression="group4", tiffinfo={278: picture.height, 262: 0})
    with Image.open(io.BytesIO(out.getvalue())) as tiff:
        tags = tiff.tag_v2 if isinstance(tiff, TiffImageFile) else {}
        offsets, counts = tags[273], tags[279]
        if len(offsets) != 1:
            raise OurFault("a 1-bit picture was not coded in one strip")
        inverted = tags[262] == 0
    data = out.getvalue()[offsets[0] : offsets[0] + counts[0]]
    parameters = Dictionary(K=-1, Columns=picture.width, Rows=picture.height, BlackIs1=not inverted)
    return _Coded(data, Name.CCITTFaxDecode, parameters)

"""Stored pictures out of a PDF and back into it, in the coding in which they came.

The old stream is replaced as a whole; nothing of it stays. A JPEG goes back
with its own quantisation tables, so that it keeps its quality and its size; a
1-bit scan goes back as CCITT Group 4; all else without loss.
"""

import io
import zlib
from dataclasses import dataclass

import pikepdf
from pikepdf import Dictionary, Name
from PIL import Image, ImageChops
from PIL.TiffImagePlugin import TiffImageFile

from packets.base.errors import OurFault

_KEEP = ("/Length", "/Type", "/Subtype", "/Interpolate", "/Intent", "/SMask", "/Mask")


@dataclass(frozen=True)
class _Coded:
    data: bytes
    filter: Name
    parameters: Dictionary | None
    keys: dict[str, pikepdf.Object | int | bool]


class UnknownCoding(Exception):
    """The picture cannot be taken out of the PDF as pixels."""


def stored_picture(image: pikepdf.Stream) -> Image.Image:
    """The picture's pixels in a mode that can be painted on: 1, L or RGB."""
    try:
        picture = pikepdf.PdfImage(image).as_pil_image()
    except (pikepdf.PdfError, NotImplementedError, ValueError, OSError, TypeError) as error:
        raise UnknownCoding from error
    except Exception as error:  # pikepdf's picture errors share no base with PdfError
        if type(error).__module__.startswith("pikepdf"):
            raise UnknownCoding from error
        raise
    if picture.mode in ("1", "L", "RGB"):
        return picture
    return picture.convert("L" if picture.mode in ("LA", "I", "I;16", "F") else "RGB")


def put_back(image: pikepdf.Stream, picture: Image.Image) -> None:
    """Replace the stored picture by `picture`, of the same size in pixels."""
    was_jpeg = _filters(image) == ["/DCTDecode"]
    stencil = bool(image.get("/ImageMask", False))
    original = _quantisation(image) if was_jpeg else None
    if picture.mode == "1":
        coded = _group4(picture, stencil=stencil)
    elif original is not None or _was_lossy(image):
        coded = _jpeg(picture, original)
    else:
        coded = _flate(picture)
    for key in [str(key) for key in image.keys()]:  # noqa: SIM118 - a pikepdf object, not a dict
        if key not in _KEEP:
            del image[key]
    for name, value in coded.keys.items():
        image[name] = value
    image.Width, image.Height = picture.width, picture.height
    image.write(coded.data, filter=coded.filter, decode_parms=coded.parameters)


def _filters(image: pikepdf.Object) -> list[str]:
    value = image.get("/Filter")
    if value is None:
        return []
    return [str(item) for item in value] if isinstance(value, pikepdf.Array) else [str(value)]


def _was_lossy(image: pikepdf.Object) -> bool:
    return any(name in ("/DCTDecode", "/JPXDecode") for name in _filters(image))


def _quantisation(image: pikepdf.Object) -> tuple[dict[int, list[int]], int | str] | None:
    try:
        with Image.open(io.BytesIO(image.read_raw_bytes())) as source:
            tables = getattr(source, "quantization", None)
            layers = getattr(source, "layer", None) or []
    except OSError:
        return None
    if not tables or len(tables) > 4:
        return None
    sampling = {(2, 2): "4:2:0", (2, 1): "4:2:2"}.get(tuple(layers[0][1:3]) if layers else (), 0)
    return dict(tables), sampling


def _jpeg(picture: Image.Image, original: tuple[dict[int, list[int]], int | str] | None) -> _Coded:
    out = io.BytesIO()
    if original is not None:
        tables, sampling = original
        picture.save(out, "JPEG", qtables=tables, subsampling=sampling, optimize=True)
    else:
        picture.save(out, "JPEG", quality=92, optimize=True)
    space = Name.DeviceGray if picture.mode == "L" else Name.DeviceRGB
    keys: dict[str, pikepdf.Object | int | bool] = {"/ColorSpace": space, "/BitsPerComponent": 8}
    return _Coded(out.getvalue(), Name.DCTDecode, None, keys)


def _flate(picture: Image.Image) -> _Coded:
    colours = len(picture.getbands())
    parameters = Dictionary(Predictor=15, Colors=colours, BitsPerComponent=8, Columns=picture.width)
    space = Name.DeviceGray if colours == 1 else Name.DeviceRGB
    keys: dict[str, pikepdf.Object | int | bool] = {"/ColorSpace": space, "/BitsPerComponent": 8}
    packed = zlib.compress(_with_up_predictor(picture), 9)
    return _Coded(packed, Name.FlateDecode, parameters, keys)


def _with_up_predictor(picture: Image.Image) -> bytes:
    """PNG filter 2 on each row (ISO 32000-2, 7.4.4.4): differences to the row above."""
    above = Image.new(picture.mode, picture.size)
    above.paste(picture, (0, 1))
    data = ImageChops.subtract_modulo(picture, above).tobytes()
    row = picture.width * len(picture.getbands())
    return b"".join(b"\x02" + data[start : start + row] for start in range(0, len(data), row))


def _group4(picture: Image.Image, *, stencil: bool) -> _Coded:
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
    keys: dict[str, pikepdf.Object | int | bool] = {"/BitsPerComponent": 1}
    parameters = Dictionary(K=-1, Columns=picture.width, Rows=picture.height, BlackIs1=not inverted)
    if stencil:
        keys["/ImageMask"] = True
    else:
        keys["/ColorSpace"] = Name.DeviceGray
    return _Coded(data, Name.CCITTFaxDecode, parameters, keys)

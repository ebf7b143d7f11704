"""A stored picture with its samples and nothing besides: no words, no rows below, no bytes behind.

Where nothing is amiss the stored bytes stay as they are. What a filter passes over
(ISO 32000-2, 7.4), and samples of which a picture has more than its size asks for,
no reader shows.
"""

import math
import zlib
from dataclasses import dataclass

import pikepdf
from pikepdf import Array, Dictionary, Name, Object, Pdf, Stream

from packets.base.limits import DEFAULT_LIMITS
from packets.masking.bare_codestreams import bare_fax, bare_jbig2, bare_jpeg_2000
from packets.masking.embedded_texts import bare_jpeg

_GENERAL = frozenset(
    {"/FlateDecode", "/LZWDecode", "/ASCII85Decode", "/ASCIIHexDecode", "/RunLengthDecode"}
)
_BARE = {
    "/DCTDecode": bare_jpeg,
    "/JPXDecode": bare_jpeg_2000,
    "/CCITTFaxDecode": bare_fax,
    "/JBIG2Decode": bare_jbig2,
}
_COMPONENTS = {
    "/DeviceGray": 1, "/CalGray": 1, "/Indexed": 1, "/Separation": 1, "/DeviceRGB": 3,
    "/CalRGB": 3, "/Lab": 3, "/DeviceCMYK": 4,
}  # fmt: skip


@dataclass(frozen=True)
class BarePicture:
    """What to store."""

    data: bytes
    filter: Name | None
    """None: as before, with the parameters as before."""
    parameters: Object | None = None


def bare_picture(image: Stream, scratch: Pdf) -> BarePicture:
    """The picture as it is to be stored; `scratch` makes streams that are thrown away."""
    filters = filters_of(image)
    data = bytes(image.read_raw_bytes())
    if not filters:
        wanted = sample_bytes(image)
        return BarePicture(data if wanted is None else data[:wanted], None)
    if filters[-1] in _BARE and _are_general(filters[:-1]):
        return _coded(image, filters, data, scratch)
    if filters == ["/FlateDecode"]:
        return BarePicture(_bare_flate(image, data), None)
    if _are_general(filters):
        samples = _decoded(image)
        if samples is not None:
            clean = zlib.compress(samples[: sample_bytes(image)])
            return BarePicture(clean, Name.FlateDecode)
    return BarePicture(data, None)


def filters_of(image: Object) -> list[str]:
    """Names of the filters, the first to be undone first."""
    value = image.get("/Filter")
    if value is None:
        return []
    return [str(item) for item in value] if isinstance(value, Array) else [str(value)]


def sample_bytes(image: Object, *, predicted: bool = False) -> int | None:
    """How many bytes its size and colours ask for (8.9.5.2); None where that is not told.

    `predicted`: with the byte that a PNG predictor puts before each row (7.4.4.4).
    """
    bits = 1 if image.get("/ImageMask") else image.get("/BitsPerComponent")
    components = 1 if image.get("/ImageMask") else _components(image.get("/ColorSpace"))
    sizes = [_count(value) for value in (bits, image.get("/Width"), image.get("/Height"))]
    if components is None or 0 in sizes:
        return None
    each, width, height = sizes
    return (math.ceil(width * each * components / 8) + int(predicted)) * height


def _count(value: object) -> int:
    return value if isinstance(value, int) and value > 0 else 0


def _components(space: object) -> int | None:
    family = space[0] if isinstance(space, Array) and len(space) else space
    if isinstance(space, Array) and len(space) > 1:
        if family == Name.ICCBased and isinstance(space[1], Stream):
            count = space[1].get("/N")
            return count if isinstance(count, int) else None
        if family == Name.DeviceN and isinstance(space[1], Array):
            return len(space[1])
    return _COMPONENTS.get(str(family))


def _are_general(filters: list[str]) -> bool:
    return all(name in _GENERAL for name in filters)


def _coded(image: Stream, filters: list[str], data: bytes, scratch: Pdf) -> BarePicture:
    """A picture in a coding of its own, perhaps wrapped in filters for any data."""
    bare = _BARE[filters[-1]]
    if len(filters) == 1:
        return BarePicture(bare(data), None)
    parameters = image.get("/DecodeParms")
    each = list(parameters) if isinstance(parameters, Array) else []
    wrapped = scratch.make_stream(data)
    wrapped.Filter = Array([Name(name) for name in filters[:-1]])
    if len(each) == len(filters):
        wrapped.DecodeParms = Array(
            [item if isinstance(item, Dictionary) else Dictionary() for item in each[:-1]]
        )
    inner = _decoded(wrapped)
    if inner is None:
        return BarePicture(data, None)
    own = each[-1] if len(each) == len(filters) else None
    return BarePicture(bare(inner), Name(filters[-1]), own)


def _decoded(stream: Stream) -> bytes | None:
    try:
        data = bytes(stream.read_bytes())
    except pikepdf.PdfError:
        return None
    return data if len(data) <= DEFAULT_LIMITS.stream_bytes else None


def _bare_flate(image: Stream, data: bytes) -> bytes:
    """Flate data that ends with its picture."""
    inflater = zlib.decompressobj()
    try:
        samples = inflater.decompress(data, DEFAULT_LIMITS.stream_bytes)
    except zlib.error:
        return data  # a damaged end: readers show what comes before it
    parameters = image.get("/DecodeParms")
    if isinstance(parameters, Array):
        parameters = parameters[0] if len(parameters) else None
    predictor = parameters.get("/Predictor", 1) if isinstance(parameters, Dictionary) else 1
    wanted = sample_bytes(image, predicted=isinstance(predictor, int) and predictor >= 10)
    if wanted is not None and len(samples) > wanted:
        return zlib.compress(samples[:wanted])
    return data[: len(data) - len(inflater.unused_data)]

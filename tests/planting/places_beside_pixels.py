"""What a picture carries besides the pixels that are seen."""

import functools
import io
import struct
import zlib
from collections.abc import Callable

from hiding_places import family
from pikepdf import Array, Dictionary, Name, Object, Pdf, StreamDecodeLevel, String
from PIL import Image
from plain_page import DIGITS, N, document_with
from planted_pages import NUMBER
from planted_pictures import (
    SIZE,
    drawn,
    flate,
    group_four,
    jbig2,
    jpeg,
    jpeg_2000,
    small,
    stored,
)

Make = Callable[[Pdf], Object]


def plain(mode: str = "L") -> Image.Image:
    """A small picture that shows nothing."""
    return small().convert(mode)


def recoded(made: Object, data: bytes) -> Object:
    made.write(data, filter=made.Filter, decode_parms=made.get("/DecodeParms"))
    return made


def jpeg_with(**options: object) -> Make:
    return lambda d: jpeg(d, plain(), **options)


def thumbnail_in_exif(d: Pdf) -> Object:
    """Orientation, and a whole JPEG with a comment as the second directory's thumbnail."""
    out = io.BytesIO()
    plain().save(out, "JPEG", comment=N)
    head = b"Exif\0\0MM\0*" + struct.pack(">IH", 8, 0) + struct.pack(">I", 0)
    return jpeg(d, plain(), exif=head + out.getvalue())


def application_segment(d: Pdf) -> Object:
    made = jpeg(d, plain())
    data = made.read_raw_bytes()
    return recoded(made, data[:2] + b"\xff\xed" + struct.pack(">H", len(N) + 2) + N + data[2:])


def behind_the_jpeg(d: Pdf) -> Object:
    made = jpeg(d, plain())
    return recoded(made, made.read_raw_bytes() + b"\n" + N)


def between_the_scans(d: Pdf) -> Object:
    """A comment behind the first scan of a progressive JPEG."""
    made = jpeg(d, plain(), progressive=True)
    data = made.read_raw_bytes()
    at = data.index(b"\xff\xc4", data.index(b"\xff\xda"))
    return recoded(made, data[:at] + b"\xff\xfe" + struct.pack(">H", len(N) + 2) + N + data[at:])


def box_of_a_jpeg_2000(d: Pdf) -> Object:
    made = jpeg_2000(d, plain())
    box = struct.pack(">I", 8 + len(N)) + b"xml " + N
    return recoded(made, made.read_raw_bytes() + box)


def comment_of_a_codestream(d: Pdf) -> Object:
    """A COM marker segment in the main header (ISO/IEC 15444-1, A.9.2)."""
    made = jpeg_2000(d, plain())
    data = made.read_raw_bytes()
    at = data.index(b"\xff\x5c")
    segment = b"\xff\x64" + struct.pack(">HH", 4 + len(N), 1) + N
    start = data.index(b"jp2c") - 4
    length = struct.unpack(">I", data[start : start + 4])[0]
    longer = struct.pack(">I", length + len(segment)) if length else bytes(4)
    return recoded(made, data[:start] + longer + data[start + 4 : at] + segment + data[at:])


def bare_codestream(d: Pdf) -> Object:
    made = comment_of_a_codestream(d)
    data = made.read_raw_bytes()
    return recoded(made, data[data.index(b"jp2c") + 4 :])


def behind_the_codestream(d: Pdf) -> Object:
    made = jpeg_2000(d, plain())
    data = made.read_raw_bytes()
    return recoded(made, data[data.index(b"jp2c") + 4 :] + N)


def behind_the_fax(d: Pdf) -> Object:
    made = group_four(d, plain("1"))
    return recoded(made, made.read_raw_bytes() + b"\0" + N)


def behind_the_fax_of_one_dimension(d: Pdf) -> Object:
    """Rows end the picture where no mark does (ISO 32000-2, Table 11)."""
    made = group_four(d, plain("1"))
    data = made.read_raw_bytes().rstrip(b"\0")
    made.DecodeParms.EndOfBlock = False
    return recoded(made, data + N)


def comment_of_a_jbig2(d: Pdf) -> Object:
    """An extension segment that must not be needed (ISO/IEC 14492, 7.4.15)."""
    made = jbig2(d, plain("1"))
    body = struct.pack(">I", 0x20000000) + b"note\0" + N + b"\0\0"
    segment = struct.pack(">IBBBI", 9, 62, 0, 1, len(body)) + body
    return recoded(made, made.read_raw_bytes() + segment)


def behind_the_jbig2(d: Pdf) -> Object:
    made = jbig2(d, plain("1"))
    return recoded(made, made.read_raw_bytes() + N)


def globals_of_a_jbig2(d: Pdf) -> Object:
    made = jbig2(d, plain("1"))
    body = struct.pack(">I", 0x20000000) + b"note\0" + N + b"\0\0"
    shared = d.make_stream(struct.pack(">IBBBI", 0, 62, 0, 0, len(body)) + body)
    made.DecodeParms = Dictionary(JBIG2Globals=d.make_indirect(shared))
    return made


def behind_the_flate(d: Pdf) -> Object:
    made = flate(d, plain(), Name.DeviceGray)
    return recoded(made, made.read_raw_bytes() + N)


def samples_below_the_picture(d: Pdf) -> Object:
    """More rows than the picture is high."""
    data = zlib.compress(plain().tobytes() + N.ljust(24))
    return stored(d, data, small().size, ColorSpace=Name.DeviceGray, Filter=Name.FlateDecode)


def samples_without_a_filter(d: Pdf) -> Object:
    return stored(d, plain().tobytes() + N, small().size, ColorSpace=Name.DeviceGray)


def samples_in_two_filters(d: Pdf) -> Object:
    data = zlib.compress(plain().tobytes() + N).hex().encode() + b">" + N
    filters = Array([Name.ASCIIHexDecode, Name.FlateDecode])
    return stored(d, data, small().size, ColorSpace=Name.DeviceGray, Filter=filters)


def indexed(d: Pdf, lookup: object, **keys: object) -> Object:
    data = bytes(k % 2 for k in range(144))
    space = Array([Name.Indexed, Name.DeviceRGB, 5, lookup])
    return stored(
        d, zlib.compress(data), (12, 12), ColorSpace=space, Filter=Name.FlateDecode, **keys
    )


COLOURS = b"\x10\x10\x10\xf0\xf0\xf0" + NUMBER.encode().ljust(12)


def colours_that_nothing_uses(d: Pdf) -> Object:
    return indexed(d, String(COLOURS))


def colours_in_a_stream(d: Pdf) -> Object:
    return indexed(d, d.make_stream(COLOURS))


def colours_behind_the_last(d: Pdf) -> Object:
    return indexed(d, String(COLOURS.ljust(18) + N))


def colours_under_a_colour_key(d: Pdf) -> Object:
    made = indexed(d, String(COLOURS), Mask=Array([2, 5]))
    data = bytes(k % 6 for k in range(144))
    return recoded(made, zlib.compress(data))


def alternate(d: Pdf) -> Object:
    other = d.make_indirect(flate(d, drawn(), Name.DeviceGray))
    made = flate(d, plain(), Name.DeviceGray)
    made.Alternates = Array([Dictionary(Image=other, DefaultForPrinting=True)])
    return made


def rows_below_the_picture(d: Pdf) -> Object:
    """A picture whose /Height stops above the words that its samples go on to show."""
    whole = Image.new("L", (SIZE[0], 2 * SIZE[1]), 235)
    whole.paste(drawn(), (0, SIZE[1]))
    made = flate(d, whole, Name.DeviceGray)
    made.Height = SIZE[1]
    return made


def private_keys(d: Pdf) -> Object:
    made = flate(d, plain(), Name.DeviceGray)
    for key in ("/Metadata", "/OPI", "/Name", "/ID", "/Measure", "/PtData"):
        made[key] = String(NUMBER)
    return made


def stream_keys(d: Pdf) -> Object:
    made = flate(d, plain(), Name.DeviceGray, DecodeParms=Dictionary({f"/X{DIGITS}": 1}))
    made.FDecodeParms = Dictionary(Name=Name(f"/N{DIGITS}"))
    return made


def numbers_of_keys(d: Pdf) -> Object:
    return flate(d, plain(), Name.DeviceGray, Decode=Array([0, 1, int(DIGITS)]))


PICTURES: dict[str, Make] = {
    "comment of a JPEG": jpeg_with(comment=N),
    "EXIF of a JPEG": jpeg_with(exif=b"Exif\0\0" + N),
    "XMP of a JPEG": jpeg_with(xmp=b"<x:xmpmeta>" + N + b"</x:xmpmeta>"),
    "profile of a JPEG": jpeg_with(icc_profile=b"note " + N),
    "thumbnail in EXIF": thumbnail_in_exif,
    "application segment of a JPEG": application_segment,
    "bytes behind a JPEG": behind_the_jpeg,
    "comment between the scans of a JPEG": between_the_scans,
    "box of a JPEG 2000": box_of_a_jpeg_2000,
    "comment of a JPEG 2000 codestream": comment_of_a_codestream,
    "comment of a bare codestream": bare_codestream,
    "bytes behind a codestream": behind_the_codestream,
    "bytes behind a CCITT picture": behind_the_fax,
    "bytes behind a CCITT picture without end": behind_the_fax_of_one_dimension,
    "comment of a JBIG2": comment_of_a_jbig2,
    "comment in the globals of a JBIG2": globals_of_a_jbig2,
    "bytes behind a Flate stream": behind_the_flate,
    "samples below the picture": samples_below_the_picture,
    "samples without a filter": samples_without_a_filter,
    "samples in two filters": samples_in_two_filters,
    "colours that nothing uses": colours_that_nothing_uses,
    "colours in a stream": colours_in_a_stream,
    "colours behind the last": colours_behind_the_last,
    "colours under a colour key": colours_under_a_colour_key,
    "private keys": private_keys,
    "keys of its filter": stream_keys,
    "a number in its /Decode": numbers_of_keys,
}
BROKEN: dict[str, Make] = {"bytes behind a JBIG2": behind_the_jbig2}
"""PDFium does not draw it for them; without them it does."""
SHOWN_PICTURES: dict[str, Make] = {
    "an alternate": alternate,
    "rows below the picture": rows_below_the_picture,
}


def on_a_page(make: Make) -> bytes:
    document = document_with(b"q 90 0 0 90 9 9 cm /Im1 Do Q")
    document.pages[0].obj.Resources.XObject = Dictionary(Im1=document.make_indirect(make(document)))
    out = io.BytesIO()
    document.save(
        out, deterministic_id=True, compress_streams=False,
        stream_decode_level=StreamDecodeLevel.none,
    )  # fmt: skip
    return out.getvalue()


def makers(pictures: dict[str, Make]) -> dict[str, object]:
    return {name: functools.partial(on_a_page, make) for name, make in pictures.items()}


PLACES = {
    **family("beside the pixels", makers(PICTURES), told_by="objects"),
    **family("beside the pixels", makers(BROKEN), told_by="objects", alike=False),
    **family("beside the pixels", makers(SHOWN_PICTURES), told_by="stored pictures"),
}

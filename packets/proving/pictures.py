"""Numbers in pixels: how a picture is coded and lies, what it hides (ISO 32000-2, 8.9, 11.6)."""

import io
import zlib
from collections.abc import Callable
from typing import Any

from pikepdf import Array, Dictionary, Name, String
from PIL import Image, ImageOps

from packets.proving.copies import Copy, Lock
from packets.proving.glyph_pictures import picture_of, sentence_picture
from packets.proving.loose_objects import loose_stream, unlisted, with_loose_object
from packets.proving.picture_codings import fax_strip, jbig2_page, lzw_packed, run_lengths
from packets.proving.place import Place
from packets.proving.records import Told

_FAMILY = "pictures"
_UPRIGHT = b"250 0 0 50 0 60 cm"

Plant = Callable[[Copy, str], None]


def picture_object(copy: Copy, data: bytes, size: tuple[int, int], **entries: Any) -> Any:
    """A picture XObject; grey with eight bits unless `entries` say otherwise."""
    shape = {"Width": size[0], "Height": size[1], "BitsPerComponent": 8}
    kind = {"Type": Name.XObject, "Subtype": Name.Image, "ColorSpace": Name.DeviceGray}
    wanted = {**kind, **shape, **entries}
    return copy.stream(data, **{key: value for key, value in wanted.items() if value is not None})


def grey_object(copy: Copy, picture: Image.Image, **entries: Any) -> Any:
    """A grey picture, deflated."""
    data = zlib.compress(picture.convert("L").tobytes())
    return picture_object(copy, data, picture.size, Filter=Name.FlateDecode, **entries)


def lay(copy: Copy, picture: Any, matrix: bytes = _UPRIGHT) -> None:
    """Draw a picture object on the page."""
    name = copy.resource("XObject", picture).encode()
    copy.show(b"q " + matrix + b" " + name + b" Do Q")


def _grey(copy: Copy, number: str) -> None:
    lay(copy, grey_object(copy, sentence_picture(number)))


def _samples(mode: str, space: Any, **entries: Any) -> Plant:
    def plant(copy: Copy, number: str) -> None:
        picture = sentence_picture(number).convert(mode)
        data = zlib.compress(picture.tobytes())
        more = {"ColorSpace": space, "Filter": Name.FlateDecode, **entries}
        lay(copy, picture_object(copy, data, picture.size, **more))

    return plant


def _indexed(copy: Copy, number: str) -> None:
    """A table of two colours, the digits in the second."""
    dark = sentence_picture(number).point(lambda value: value < 128)
    space = Array([Name.Indexed, Name.DeviceRGB, 1, String(b"\xff\xff\xe0\x20\x00\x60")])
    data = zlib.compress(dark.tobytes())
    lay(copy, picture_object(copy, data, dark.size, ColorSpace=space, Filter=Name.FlateDecode))


def _inked(paper: tuple[int, int, int], ink: tuple[int, int, int]) -> Plant:
    """Digits in a colour that in grey is nearly that of their paper."""

    def plant(copy: Copy, number: str) -> None:
        dark = sentence_picture(number)
        picture = ImageOps.colorize(dark, black=ink, white=paper)
        data = zlib.compress(picture.tobytes())
        lay(
            copy,
            picture_object(
                copy, data, picture.size, ColorSpace=Name.DeviceRGB, Filter=Name.FlateDecode
            ),
        )

    return plant


def _aslant(copy: Copy, number: str) -> None:
    """A slip that lay askew on the glass."""
    picture = sentence_picture(number).rotate(
        24, Image.Resampling.BICUBIC, expand=True, fillcolor=255
    )
    lay(copy, grey_object(copy, picture), b"250 0 0 150 0 60 cm")


def _coded(form: str, coding: Any, mode: str = "L", space: Any = Name.DeviceGray) -> Plant:
    def plant(copy: Copy, number: str) -> None:
        out = io.BytesIO()
        picture = sentence_picture(number).convert(mode)
        picture.save(out, form)
        lay(
            copy,
            picture_object(copy, out.getvalue(), picture.size, ColorSpace=space, Filter=coding),
        )

    return plant


def _run_lengths(copy: Copy, number: str) -> None:
    picture = sentence_picture(number)
    data = run_lengths(picture.tobytes())
    lay(copy, picture_object(copy, data, picture.size, Filter=Name.RunLengthDecode))


def _lzw_loose(copy: Copy, number: str) -> None:
    """Behind the last revision: no page shows it."""
    picture = sentence_picture(number)
    entries = b"/Type /XObject /Subtype /Image /ColorSpace /DeviceGray /BitsPerComponent 8 "
    entries += b"/Width %d /Height %d" % picture.size
    samples = lzw_packed(picture.tobytes())

    def change(data: bytes, lock: Lock) -> bytes:
        loose = with_loose_object(
            data, lock, lambda seal: loose_stream(seal(samples), b"/LZWDecode", entries)
        )
        return unlisted(loose, data)

    copy.late.append(change)


def _fax(copy: Copy, number: str) -> None:
    data, size = fax_strip(sentence_picture(number))
    parameters = Dictionary(K=-1, Columns=size[0], Rows=size[1], BlackIs1=False)
    entries = {"Filter": Name.CCITTFaxDecode, "DecodeParms": parameters, "BitsPerComponent": 1}
    lay(copy, picture_object(copy, data, size, **entries))


def _jbig2(copy: Copy, number: str) -> None:
    data, size = jbig2_page(sentence_picture(number))
    entries = {"Filter": Name.JBIG2Decode, "BitsPerComponent": 1}
    lay(copy, picture_object(copy, data, size, **entries))


def _inline(copy: Copy, number: str) -> None:
    picture = sentence_picture(number)
    head = b"BI /W %d /H %d /BPC 8 /CS /G /F [/AHx /Fl] ID " % picture.size
    samples = zlib.compress(picture.tobytes()).hex().encode()
    copy.show(b"q " + _UPRIGHT + b" " + head + samples + b">\nEI Q")


def _turned(degrees: int) -> Plant:
    def plant(copy: Copy, number: str) -> None:
        picture = picture_of(f"Number {number} on file with more words to read", (1400, 200))
        picture = picture.rotate(degrees, expand=True)
        shape = (200, 26) if picture.width > picture.height else (26, 170)
        lay(copy, grey_object(copy, picture), b"%d 0 0 %d 10 5 cm" % shape)

    return plant


def _turned_by_matrix(copy: Copy, number: str) -> None:
    lay(copy, grey_object(copy, sentence_picture(number)), b"0 170 -34 0 60 5 cm")


def _upside_down_samples(copy: Copy, number: str) -> None:
    """The samples run from the bottom to the top, and the page turns them over again."""
    flipped = ImageOps.flip(sentence_picture(number))
    lay(copy, grey_object(copy, flipped), b"250 0 0 -50 0 110 cm")


def _mirrored_samples(copy: Copy, number: str) -> None:
    mirrored = ImageOps.mirror(sentence_picture(number))
    lay(copy, grey_object(copy, mirrored), b"-250 0 0 50 255 60 cm")


def _white_on_black(copy: Copy, number: str) -> None:
    lay(copy, grey_object(copy, ImageOps.invert(sentence_picture(number))))


def _inverted_by_its_decode(copy: Copy, number: str) -> None:
    picture = ImageOps.invert(sentence_picture(number))
    lay(copy, grey_object(copy, picture, Decode=Array([1, 0])))


def _low_contrast(copy: Copy, number: str) -> None:
    lay(copy, grey_object(copy, sentence_picture(number).point(lambda value: 190 + value // 5)))


def _under_a_box(copy: Copy, number: str) -> None:
    _grey(copy, number)
    copy.show(b"0 g 0 55 260 60 re f")


def _clipped(copy: Copy, number: str) -> None:
    name = copy.resource("XObject", grey_object(copy, sentence_picture(number))).encode()
    copy.show(b"q 0 60 20 50 re W n " + _UPRIGHT + b" " + name + b" Do Q")


def _never_shown(copy: Copy, number: str) -> None:
    copy.resource("XObject", grey_object(copy, sentence_picture(number)))


def _stencil(copy: Copy, number: str) -> None:
    bits = sentence_picture(number).point(lambda value: 255 * (value > 127)).convert("1")
    entries = {"ImageMask": True, "BitsPerComponent": 1, "ColorSpace": None}
    data = zlib.compress(bits.tobytes())
    lay(copy, picture_object(copy, data, bits.size, Filter=Name.FlateDecode, **entries))


def _soft_mask(copy: Copy, number: str) -> None:
    shape = ImageOps.invert(sentence_picture(number))
    mask = grey_object(copy, shape)
    lay(copy, grey_object(copy, Image.new("L", shape.size, 0), SMask=mask))


def _alternate(copy: Copy, number: str) -> None:
    other = grey_object(copy, sentence_picture(number))
    choice = Array([Dictionary(Image=other, DefaultForPrinting=True)])
    lay(copy, grey_object(copy, picture_of("Nothing to see"), Alternates=choice))


def _strips(copy: Copy, number: str) -> None:
    whole = sentence_picture(number)
    for at, top in enumerate(range(0, 200, 25)):
        strip = grey_object(copy, whole.crop((0, top, 1000, top + 25)))
        lay(copy, strip, b"250 0 0 6.25 0 %.2f cm" % (110 - 6.25 * (at + 1)))


def _thumbnail(copy: Copy, number: str) -> None:
    copy.page.obj.Thumb = grey_object(copy, sentence_picture(number))


def _jpeg(copy: Copy, picture: Image.Image, after: bytes = b"", **how: Any) -> Any:
    out = io.BytesIO()
    picture.save(out, "JPEG", **how)
    data = out.getvalue() + after
    return picture_object(copy, data, picture.size, Filter=Name.DCTDecode)


def _jpeg_comment(copy: Copy, number: str) -> None:
    comment = f"scan of {number}".encode()
    lay(copy, _jpeg(copy, picture_of("Nothing to see"), comment=comment))


def _jpeg_exif(copy: Copy, number: str) -> None:
    exif = Image.Exif()
    exif[0x010E] = f"scan of {number}"
    lay(copy, _jpeg(copy, picture_of("Nothing to see"), exif=exif))


def _jpeg_tail(copy: Copy, number: str) -> None:
    lay(copy, _jpeg(copy, picture_of("Nothing to see"), b"left over " + number.encode()))


def _jpeg_in_jpeg(copy: Copy, number: str) -> None:
    small = io.BytesIO()
    sentence_picture(number).save(small, "JPEG")
    lay(copy, _jpeg(copy, picture_of("Nothing to see"), small.getvalue()))


def _row(name: str, plant: Plant, told: Told = Told.UNKNOWN) -> Place:
    return Place(_FAMILY, name, plant, told)


_KNOWN = Told.KNOWN
PLACES = (
    _row("grey, deflated", _grey),
    _row("colour", _samples("RGB", Name.DeviceRGB), _KNOWN),
    _row("four inks", _samples("CMYK", Name.DeviceCMYK)),
    _row("black and white", _samples("1", Name.DeviceGray, BitsPerComponent=1), _KNOWN),
    _row("table of colours", _indexed),
    _row("JPEG", _coded("JPEG", Name.DCTDecode)),
    _row("JPEG in colour", _coded("JPEG", Name.DCTDecode, "RGB", Name.DeviceRGB), _KNOWN),
    _row("JPEG 2000", _coded("JPEG2000", Name.JPXDecode)),
    _row("fax (CCITT group 4)", _fax),
    _row("JBIG2", _jbig2, _KNOWN),
    _row("LZW, shown by no page", _lzw_loose, _KNOWN),
    _row("run lengths", _run_lengths),
    _row("within the content", _inline),
    _row("lying on its left side", _turned(90)),
    _row("standing on its head", _turned(180), _KNOWN),
    _row("lying on its right side", _turned(270)),
    _row("turned by the page", _turned_by_matrix, _KNOWN),
    _row("stored bottom up", _upside_down_samples),
    _row("stored mirrored", _mirrored_samples, _KNOWN),
    _row("white on black", _white_on_black),
    _row("inverted by its decode array", _inverted_by_its_decode, _KNOWN),
    _row("pale", _low_contrast, _KNOWN),
    _row("red on green, as light", _inked((0, 130, 0), (255, 0, 0))),
    _row("yellow on white", _inked((255, 255, 255), (255, 255, 0)), _KNOWN),
    _row("a hair darker than the paper", _inked((255, 255, 255), (249, 249, 249))),
    _row("aslant", _aslant),
    _row("under a rectangle", _under_a_box),
    _row("clipped", _clipped, _KNOWN),
    _row("shown by no page", _never_shown),
    _row("stencil", _stencil),
    _row("soft mask of a black picture", _soft_mask, _KNOWN),
    _row("second picture for printing", _alternate),
    _row("cut into strips", _strips),
    _row("small picture of a page", _thumbnail),
    _row("comment in a JPEG", _jpeg_comment),
    _row("EXIF in a JPEG", _jpeg_exif, _KNOWN),
    _row("bytes behind a JPEG", _jpeg_tail),
    _row("JPEG behind a JPEG", _jpeg_in_jpeg),
)

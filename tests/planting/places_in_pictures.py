"""A number drawn in pictures of every coding, in every way and place they can lie."""

import functools
import zlib

from hiding_places import family
from pikepdf import Array, Dictionary, Name, Object, Pdf, String
from PIL import Image, ImageCms, ImageOps
from planted_pictures import (
    SIZE,
    drawn,
    flate,
    group_four,
    jbig2,
    jpeg,
    jpeg_2000,
    one_bit_flate,
    palette,
    picture_sheet,
    stencil,
    stored,
    with_soft_mask,
    words_in_soft_mask,
)


def inverted_jpeg(document: Pdf) -> Object:
    made = jpeg(document, ImageOps.invert(drawn("RGB")))
    made.Decode = Array([1, 0] * 3)
    return made


def profile_space(document: Pdf) -> Object:
    profile = document.make_stream(
        ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    )
    profile.N = 3
    return Array([Name.ICCBased, document.make_indirect(profile)])


def masked_by_stencil(document: Pdf) -> Object:
    """Grey all over; the stencil lets it through where the words are."""
    mask = document.make_indirect(stencil(document))
    return flate(document, Image.new("L", SIZE, 20), Name.DeviceGray, Mask=mask)


def flate_over_jpeg(document: Pdf) -> Object:
    made = jpeg(document, drawn("RGB"))
    made.write(
        zlib.compress(made.read_raw_bytes()), filter=Array([Name.FlateDecode, Name.DCTDecode])
    )
    return made


def of_two_inks(document: Pdf) -> Object:
    """Samples of one ink that has a name of its own."""
    ink = Dictionary(FunctionType=2, Domain=Array([0, 1]), C0=Array([1]), C1=Array([0]), N=1)
    space = Array([Name.Separation, Name.Ink, Name.DeviceGray, ink])
    return flate(document, ImageOps.invert(drawn()), space)


def of_equal_colours(document: Pdf) -> Object:
    """A palette of two equal colours: only a soft mask tells the words."""
    bits = drawn("1").convert("L").point(lambda value: value // 255)
    space = Array([Name.Indexed, Name.DeviceRGB, 1, String(bytes(6))])
    alpha = document.make_indirect(flate(document, ImageOps.invert(drawn()), Name.DeviceGray))
    return flate(document, bits, space, SMask=alpha)


def under_a_colour_key(document: Pdf) -> Object:
    """A palette whose paper is keyed out."""
    bits = drawn("1").convert("L").point(lambda value: value // 255)
    space = Array([Name.Indexed, Name.DeviceRGB, 1, String(bytes(3) + b"\xff" * 3)])
    return flate(document, bits, space, Mask=Array([1, 1]))


def sixteen_bits(document: Pdf) -> Object:
    data = b"".join(bytes((value, 7)) for value in drawn().tobytes())
    made = stored(
        document, zlib.compress(data), SIZE, ColorSpace=Name.DeviceGray, Filter=Name.FlateDecode
    )
    made.BitsPerComponent = 16
    return made


def of_lab_colours(document: Pdf) -> Object:
    white = Dictionary(WhitePoint=Array([0.9505, 1, 1.089]), Range=Array([-100, 100, -100, 100]))
    grey = drawn()
    data = Image.merge("RGB", (grey, Image.new("L", SIZE, 128), Image.new("L", SIZE, 128)))
    return flate(document, data, Array([Name.Lab, white]))


CODINGS = {
    "RGB": lambda d: flate(d, drawn("RGB"), Name.DeviceRGB),
    "grey": lambda d: flate(d, drawn(), Name.DeviceGray),
    "one bit, Flate": one_bit_flate,
    "one bit, CCITT": lambda d: group_four(d, drawn("1")),
    "one bit, JBIG2": jbig2,
    "palette": palette,
    "palette of four bits": functools.partial(palette, bits=4),
    "grey JPEG": lambda d: jpeg(d, drawn()),
    "RGB JPEG": lambda d: jpeg(d, drawn("RGB")),
    "progressive JPEG": lambda d: jpeg(d, drawn("RGB"), progressive=True),
    "CMYK JPEG": lambda d: jpeg(d, drawn("CMYK")),
    "JPEG 2000": lambda d: jpeg_2000(d, drawn("RGB")),
    "a stencil": stencil,
    "a CCITT stencil": functools.partial(stencil, coded=True),
    "with a soft mask": with_soft_mask,
    "in the soft mask": words_in_soft_mask,
    "inverted by /Decode": lambda d: flate(
        d, ImageOps.invert(drawn()), Name.DeviceGray, Decode=Array([1, 0])
    ),
    "one bit inverted by /Decode": lambda d: one_bit_flate(d, Decode=Array([1, 0])),
    "JPEG inverted by /Decode": inverted_jpeg,
    "with a profile": lambda d: flate(d, drawn("RGB"), profile_space(d)),
    "with a stencil for a mask": masked_by_stencil,
    "with a colour key": lambda d: flate(
        d, drawn("RGB"), Name.DeviceRGB, Mask=Array([1, 2, 1, 2, 1, 2])
    ),
    "Flate over JPEG": flate_over_jpeg,
    "an ink with a name": of_two_inks,
    "two equal colours and a soft mask": of_equal_colours,
    "sixteen bits": sixteen_bits,
    "Lab": of_lab_colours,
}
HELD_OR_MASKED = {"a palette under a colour key": under_a_colour_key}

PLACES = {
    **family(
        "picture",
        {k: functools.partial(picture_sheet, make) for k, make in CODINGS.items()},
        told_by="pixels", known=False,
    ),
    **family(
        "picture",
        {k: functools.partial(picture_sheet, make) for k, make in HELD_OR_MASKED.items()},
        told_by="pixels", known=False, may_hold=True,
    ),
}  # fmt: skip

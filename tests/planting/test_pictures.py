"""A number in pictures of every coding is painted over in the picture itself."""

import io
import zlib
from functools import partial

import pikepdf
import pytest
from masking_run import mask
from picture_eyes import rendered, seen_on
from pikepdf import Array, Name
from PIL import Image, ImageCms, ImageOps
from planted_pages import NUMBER
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
    with_soft_mask,
    words_in_soft_mask,
)

MASKED = "XXX-XX-4320"


def inverted_jpeg(document):
    made = jpeg(document, ImageOps.invert(drawn("RGB")))
    made.Decode = Array([1, 0] * 3)
    return made


def profile_space(document):
    profile = document.make_stream(
        ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    )
    profile.N = 3
    return Array([Name.ICCBased, document.make_indirect(profile)])


def masked_by_stencil(document):
    """Grey all over; the stencil lets it through where the words are."""
    mask = document.make_indirect(stencil(document))
    return flate(document, Image.new("L", SIZE, 20), Name.DeviceGray, Mask=mask)


def flate_over_jpeg(document):
    made = jpeg(document, drawn("RGB"))
    made.write(
        zlib.compress(made.read_raw_bytes()), filter=Array([Name.FlateDecode, Name.DCTDecode])
    )
    return made


CODINGS = {
    "RGB": lambda d: flate(d, drawn("RGB"), Name.DeviceRGB),
    "grey": lambda d: flate(d, drawn(), Name.DeviceGray),
    "one bit, Flate": one_bit_flate,
    "one bit, CCITT": lambda d: group_four(d, drawn("1")),
    "one bit, JBIG2": jbig2,
    "palette": palette,
    "palette of four bits": partial(palette, bits=4),
    "grey JPEG": lambda d: jpeg(d, drawn()),
    "RGB JPEG": lambda d: jpeg(d, drawn("RGB")),
    "progressive JPEG": lambda d: jpeg(d, drawn("RGB"), progressive=True),
    "CMYK JPEG": lambda d: jpeg(d, drawn("CMYK")),
    "JPEG 2000": lambda d: jpeg_2000(d, drawn("RGB")),
    "a stencil": stencil,
    "a CCITT stencil": partial(stencil, coded=True),
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
}


@pytest.mark.parametrize("make", CODINGS.values(), ids=CODINGS.keys())
def test_a_number_in_a_picture_is_painted_over(make):
    pdf = picture_sheet(make)
    assert NUMBER in seen_on(pdf)
    result = mask(pdf)
    assert not result.unread
    assert [item.within for item in result.masks] == ["picture"]
    text = seen_on(result.pdf)
    assert MASKED in text
    assert NUMBER[:6] not in text
    assert_rest_looks_the_same(pdf, result.pdf)


def assert_rest_looks_the_same(before: bytes, after: bytes) -> None:
    """The line of words under the number, and the paper around it."""
    part = (50 * 3, 200 * 3 + 70 * 3, 350 * 3, 200 * 3 + 100 * 3)
    one, other = (rendered(pdf).crop(part).convert("L") for pdf in (before, after))
    difference = Image.blend(one, ImageOps.invert(other), 0.5)
    low, high = difference.getextrema()
    assert high - low <= 24


def test_no_stored_picture_shows_the_digits_any_longer():
    result = mask(picture_sheet(CODINGS["grey"]))
    with pikepdf.open(io.BytesIO(result.pdf)) as document:
        images = [i for i in document.objects if isinstance(i, pikepdf.Stream)
                  and i.get("/Subtype") == Name.Image]  # fmt: skip
        assert len(images) == 1
        now = pikepdf.PdfImage(images[0]).as_pil_image().convert("L")
    was = drawn()
    ink_before = was.crop((200, 90, 500, 190)).histogram()
    ink_after = now.crop((200, 90, 500, 190)).histogram()
    assert ink_before != ink_after


def test_the_colour_space_stays_where_the_samples_fit_it():
    result = mask(picture_sheet(CODINGS["with a profile"]))
    with pikepdf.open(io.BytesIO(result.pdf)) as document:
        image = document.pages[0].obj.Resources.XObject.Im1
        assert image.ColorSpace[0] == Name.ICCBased

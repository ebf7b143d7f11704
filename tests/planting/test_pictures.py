"""A number in pictures of every coding is painted over in the picture itself."""

import io

import pikepdf
from masking_run import mask
from pikepdf import Name
from places_in_pictures import CODINGS
from planted_pictures import (
    drawn,
    picture_sheet,
)


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

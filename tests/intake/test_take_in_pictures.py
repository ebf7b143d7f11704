"""Pictures become pages of their own size, upright, with nothing but the picture."""

import io
import zlib
from pathlib import Path
from typing import Any

import pikepdf
import pymupdf
import pytest
from PIL import Image, PngImagePlugin

from packets.base.errors import Damaged, InputRefused, OverLimit
from packets.base.limits import Limits
from packets.intake.take_in import take_in

MARK = b"Private words 000-12-3456"


def _picture(width: int = 120, height: int = 80) -> Image.Image:
    """Grey, dark in the upper left quarter: one can tell when it was turned."""
    image = Image.new("L", (width, height), 230)
    image.paste(20, (0, 0, width // 2, height // 2))
    return image


def _saved(tmp_path: Path, name: str, image: Image.Image, **options: Any) -> Path:
    path = tmp_path / name
    image.save(path, **options)
    return path


def _drawn(pdf: bytes, page: int = 0) -> Image.Image:
    with pymupdf.open(stream=pdf) as document:
        pixels = document[page].get_pixmap(colorspace=pymupdf.csGRAY)
        return Image.frombytes("L", (pixels.width, pixels.height), pixels.samples)


def _size(pdf: bytes, page: int = 0) -> tuple[float, float]:
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        box = [float(side) for side in opened.pages[page].mediabox]
        return round(box[2], 2), round(box[3], 2)


def _looks_right(pdf: bytes, page: int = 0) -> bool:
    image = _drawn(pdf, page)
    across, down = image.width // 4, image.height // 4
    dark = image.getpixel((across, down))
    light = [image.getpixel((3 * across, down)), image.getpixel((3 * across, 3 * down))]
    return dark < 90 and min(light) > 160  # type: ignore[operator]  # grey pixels are numbers


@pytest.mark.parametrize("mode", ["1", "L", "P", "RGB", "RGBA", "LA", "I;16"])
def test_a_png_of_any_kind_of_dots_shows_the_same(tmp_path: Path, mode: str) -> None:
    image = _picture()
    if mode == "I;16":
        image = image.convert("I").point(lambda value: value * 257).convert("I;16")
    else:
        image = image.convert(mode)
    taken = take_in(_saved(tmp_path, "a.png", image, dpi=(100, 100)))
    assert taken.media == "image/png"
    assert taken.pages == 1
    assert _size(taken.pdf) == (86.4, 57.6)
    assert _looks_right(taken.pdf)


@pytest.mark.parametrize("mode", ["1", "L", "RGB", "CMYK", "P", "RGBA", "I;16"])
def test_a_tiff_of_any_kind_of_dots_shows_the_same(tmp_path: Path, mode: str) -> None:
    image = _picture()
    if mode == "I;16":
        image = image.convert("I").point(lambda value: value * 257).convert("I;16")
    else:
        image = image.convert(mode)
    taken = take_in(_saved(tmp_path, "a.tiff", image, dpi=(100, 100)))
    assert taken.media == "image/tiff"
    assert _looks_right(taken.pdf)


@pytest.mark.parametrize("compression", ["group4", "tiff_lzw", "tiff_deflate", "packbits", None])
def test_black_and_white_stays_one_bit(tmp_path: Path, compression: str | None) -> None:
    path = _saved(tmp_path, "a.tif", _picture().convert("1"), compression=compression)
    with pikepdf.open(io.BytesIO(take_in(path).pdf)) as pdf:
        assert pdf.pages[0].Resources.XObject.Picture.BitsPerComponent == 1


def test_every_frame_of_a_tiff_is_a_page_of_its_own_size(tmp_path: Path) -> None:
    frames = [_picture(120, 80), _picture(80, 160).convert("1"), _picture(100, 100).convert("RGB")]
    path = _saved(
        tmp_path, "a.tif", frames[0], save_all=True, append_images=frames[1:], dpi=(80, 80)
    )
    taken = take_in(path)
    assert taken.pages == 3
    assert [_size(taken.pdf, page) for page in range(3)] == [(108, 72), (72, 144), (90, 90)]
    assert all(_looks_right(taken.pdf, page) for page in range(3))


def test_fax_resolutions_that_differ_give_the_right_shape(tmp_path: Path) -> None:
    path = _saved(tmp_path, "a.tif", _picture(408, 196).convert("1"), dpi=(204, 98))
    assert _size(take_in(path).pdf) == (144, 144)


@pytest.mark.parametrize("dpi", [None, (72, 72), (1, 1), (0, 0), (30000, 30000)])
def test_without_a_usable_resolution_the_page_is_letter_and_says_so(
    tmp_path: Path, dpi: tuple[int, int] | None
) -> None:
    options = {} if dpi is None else {"dpi": dpi}
    taken = take_in(_saved(tmp_path, "a.png", _picture(2550, 3300), **options))
    assert _size(taken.pdf) == (612, 792)
    assert "300 dots per inch" in taken.notes[0]


def test_a_lying_picture_without_resolution_lies_on_its_page(tmp_path: Path) -> None:
    assert _size(take_in(_saved(tmp_path, "a.png", _picture(3300, 2550))).pdf) == (792, 612)


def test_a_jpeg_keeps_its_own_compressed_data(tmp_path: Path) -> None:
    path = _saved(tmp_path, "a.jpg", _picture().convert("RGB"), dpi=(100, 100))
    with pikepdf.open(io.BytesIO(take_in(path).pdf)) as pdf:
        image = pdf.pages[0].Resources.XObject.Picture
        assert image.Filter == "/DCTDecode"
        kept = image.read_raw_bytes()
    original = path.read_bytes()
    tables = original.index(b"\xff\xdb")
    assert kept == original[:2] + original[tables:]


def test_what_a_jpeg_carries_besides_the_picture_is_gone(tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[0x010E] = MARK.decode()
    path = _saved(
        tmp_path, "a.jpg", _picture(), exif=exif, comment=MARK, icc_profile=MARK, dpi=(100, 100)
    )
    path.write_bytes(path.read_bytes() + MARK)
    assert path.read_bytes().count(MARK) == 4
    taken = take_in(path)
    assert MARK not in taken.pdf
    assert _looks_right(taken.pdf)


def test_what_a_png_carries_besides_the_picture_is_gone(tmp_path: Path) -> None:
    words = PngImagePlugin.PngInfo()
    words.add_text("Comment", MARK.decode())
    taken = take_in(_saved(tmp_path, "a.png", _picture(), pnginfo=words))
    assert MARK not in taken.pdf


@pytest.mark.parametrize("name", ["a.jpg", "a.png", "a.tif"])
@pytest.mark.parametrize("turn", range(2, 9))
def test_a_picture_is_turned_as_its_mark_says(tmp_path: Path, name: str, turn: int) -> None:
    undo = {
        2: Image.Transpose.FLIP_LEFT_RIGHT,
        3: Image.Transpose.ROTATE_180,
        4: Image.Transpose.FLIP_TOP_BOTTOM,
        5: Image.Transpose.TRANSPOSE,
        6: Image.Transpose.ROTATE_90,
        7: Image.Transpose.TRANSVERSE,
        8: Image.Transpose.ROTATE_270,
    }[turn]
    exif = Image.Exif()
    exif[0x0112] = turn
    path = _saved(tmp_path, name, _picture().transpose(undo), exif=exif, dpi=(100, 100))
    taken = take_in(path)
    assert _size(taken.pdf) == (86.4, 57.6)
    assert _looks_right(taken.pdf)
    assert any("turned" in note for note in taken.notes)


@pytest.mark.parametrize("turn", [3, 6, 8])
def test_a_turned_photograph_keeps_its_own_compressed_data(tmp_path: Path, turn: int) -> None:
    exif = Image.Exif()
    exif[0x0112] = turn
    path = _saved(tmp_path, "a.jpg", _picture(), exif=exif)
    with pikepdf.open(io.BytesIO(take_in(path).pdf)) as pdf:
        kept = pdf.pages[0].Resources.XObject.Picture.read_raw_bytes()
    assert kept[2:] in path.read_bytes()


@pytest.mark.parametrize("name", ["a.jpg", "a.tif"])
def test_cmyk_shows_the_same_colours(tmp_path: Path, name: str) -> None:
    taken = take_in(_saved(tmp_path, name, _picture().convert("CMYK"), dpi=(100, 100)))
    assert _looks_right(taken.pdf)
    assert any("CMYK" in note for note in taken.notes)


def test_a_jpeg_stored_as_rgb_shows_the_same_colours(tmp_path: Path) -> None:
    image = Image.new("RGB", (64, 64), (200, 30, 30))
    path = _saved(tmp_path, "a.jpg", image, keep_rgb=True)
    with pymupdf.open(stream=take_in(path).pdf) as document:
        red, green, blue = document[0].get_pixmap().pixel(20, 20)
    assert red > 180
    assert max(green, blue) < 60


def test_what_lies_under_full_transparency_does_not_come_along(tmp_path: Path) -> None:
    image = Image.new("RGBA", (60, 60), (0, 0, 0, 0))
    taken = take_in(_saved(tmp_path, "a.png", image))
    assert _drawn(taken.pdf).getextrema() == (255, 255)
    assert any("white" in note for note in taken.notes)


def test_the_same_picture_gives_the_same_bytes(tmp_path: Path) -> None:
    for name in ("a.png", "a.jpg", "a.tif"):
        path = _saved(tmp_path, name, _picture())
        assert take_in(path).pdf == take_in(path).pdf


@pytest.mark.parametrize("name", ["a.png", "a.jpg", "a.tif"])
@pytest.mark.parametrize("share", [0.3, 0.6, 0.95])
def test_a_picture_cut_off_is_damaged(tmp_path: Path, name: str, share: float) -> None:
    image = Image.effect_noise((200, 200), 80)
    data = _saved(tmp_path, name, image).read_bytes()
    path = tmp_path / f"cut-{name}"
    path.write_bytes(data[: int(len(data) * share)])
    with pytest.raises(Damaged):
        take_in(path)


@pytest.mark.parametrize("name", ["a.png", "a.jpg", "a.tif"])
@pytest.mark.parametrize("limits", [Limits(picture_side=120), Limits(picture_pixels=9599)])
def test_a_picture_over_a_limit_is_refused(tmp_path: Path, name: str, limits: Limits) -> None:
    path = _saved(tmp_path, name, _picture())
    with pytest.raises(OverLimit, match="larger than"):
        take_in(path, limits)
    assert take_in(path, Limits(picture_side=121, picture_pixels=9600)).pages == 1


def test_a_size_that_only_the_header_claims_is_refused_without_decoding(tmp_path: Path) -> None:
    data = bytearray(_saved(tmp_path, "a.png", _picture()).read_bytes())
    for size in (25_000, 60_000):
        data[16:24] = size.to_bytes(4, "big") * 2
        data[29:33] = zlib.crc32(data[12:29]).to_bytes(4, "big")
        path = tmp_path / f"{size}.png"
        path.write_bytes(bytes(data))
        with pytest.raises(OverLimit):
            take_in(path)


def test_too_many_frames_are_refused(tmp_path: Path) -> None:
    frames = [_picture(20, 20)] * 6
    path = _saved(tmp_path, "a.tif", frames[0], save_all=True, append_images=frames[1:])
    with pytest.raises(OverLimit, match="too many"):
        take_in(path, Limits(pages=5))
    assert take_in(path, Limits(pages=6)).pages == 6


def test_an_animated_picture_is_refused(tmp_path: Path) -> None:
    frames = [_picture(), _picture().transpose(Image.Transpose.ROTATE_180)]
    path = _saved(tmp_path, "a.png", frames[0], save_all=True, append_images=frames[1:])
    with pytest.raises(InputRefused, match="animated"):
        take_in(path)

"""Signature images: paper gone, ink kept, or refused by name."""

import random
import struct
import zlib
from pathlib import Path

import pytest
from PIL import Image, ImageDraw
from signing_samples import INK, scribble

from packets.base.errors import Damaged, InputRefused, OverLimit
from packets.signatures.artwork import load_artwork
from packets.signatures.records import Artwork


def loaded(tmp_path: Path, picture: Image.Image, name: str = "s.png", **save: object) -> Artwork:
    picture.save(tmp_path / name, **save)
    return load_artwork(tmp_path / name)


def pixels(artwork: Artwork) -> Image.Image:
    return Image.frombytes("RGBA", (artwork.width, artwork.height), artwork.rgba)


def solid_colour(artwork: Artwork) -> tuple[int, ...]:
    """Mean colour of the pixels that are wholly ink."""
    picture = pixels(artwork)
    solid = picture.getchannel("A").point([0] * 250 + [255] * 6)
    count = solid.histogram()[255]
    assert count > 20
    return tuple(
        sum(level * number for level, number in enumerate(channel.histogram(mask=solid))) // count
        for channel in picture.convert("RGB").split()
    )


def clear_share(artwork: Artwork) -> float:
    counts = pixels(artwork).getchannel("A").histogram()
    return counts[0] / sum(counts)


def near(colour: tuple[int, ...], wanted: tuple[int, ...], within: int = 30) -> bool:
    return all(abs(one - other) <= within for one, other in zip(colour, wanted, strict=True))


def test_white_paper_is_gone_and_the_ink_keeps_its_colour(tmp_path: Path) -> None:
    artwork = loaded(tmp_path, scribble())
    assert near(solid_colour(artwork), INK)
    assert clear_share(artwork) > 0.7


def test_red_ink_stays_red(tmp_path: Path) -> None:
    artwork = loaded(tmp_path, scribble(ink=(210, 30, 30)))
    assert near(solid_colour(artwork), (210, 30, 30))


def test_the_image_is_trimmed_to_the_ink(tmp_path: Path) -> None:
    sheet = Image.new("RGB", (1600, 1200), "white")
    sheet.paste(scribble(400, 130), (900, 800))
    artwork = loaded(tmp_path, sheet)
    assert 300 < artwork.width < 400
    assert 60 < artwork.height < 130


def test_a_speck_of_dust_does_not_widen_it(tmp_path: Path) -> None:
    sheet = scribble()
    sheet.putpixel((3, 3), (0, 0, 0))
    assert loaded(tmp_path, sheet).width == loaded(tmp_path, scribble(), "t.png").width


def test_a_transparent_image_keeps_its_ink_only(tmp_path: Path) -> None:
    artwork = loaded(tmp_path, scribble(paper=(0, 0, 0, 0), ink=(*INK, 255), mode="RGBA"))
    assert near(solid_colour(artwork), INK)
    assert clear_share(artwork) > 0.7


def test_shaded_noisy_jpeg_paper_is_gone_too(tmp_path: Path) -> None:
    chance = random.Random(4)
    sheet = scribble(500, 240, thickness=5)
    for x in range(sheet.width):
        for y in range(sheet.height):
            shade = 1 - 0.25 * x / sheet.width - 0.1 * y / sheet.height
            grain = chance.randint(-8, 8)
            colour = sheet.getpixel((x, y))
            sheet.putpixel((x, y), tuple(max(0, int(part * shade) + grain) for part in colour))
    artwork = loaded(tmp_path, sheet, "s.jpg", quality=60)
    assert clear_share(artwork) > 0.7
    assert near(solid_colour(artwork), INK, 60)


def test_no_colour_of_the_paper_stays_where_it_is_clear(tmp_path: Path) -> None:
    picture = pixels(loaded(tmp_path, scribble(paper=(250, 245, 220))))
    clear = picture.getchannel("A").point([255] + [0] * 255)
    for channel in picture.convert("RGB").split():
        assert sum(channel.histogram(mask=clear)[1:]) == 0


def test_a_turned_photograph_is_set_upright(tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[0x0112] = 6  # turn a quarter clockwise to see it upright
    lying = scribble().transpose(Image.Transpose.ROTATE_90)
    artwork = loaded(tmp_path, lying, "s.jpg", exif=exif, quality=95)
    assert artwork.width > 2 * artwork.height


@pytest.mark.parametrize("mode", ["L", "1", "P", "LA", "PA", "I;16", "CMYK"])
def test_every_kind_of_pixel_is_read(tmp_path: Path, mode: str) -> None:
    if mode == "I;16":
        grey = scribble(ink=(0, 0, 0)).convert("L").convert("I")
        picture, name = grey.point(lambda level: level * 257 + 0).convert("I;16"), "s.png"
    elif mode == "PA":
        picture, name = scribble(paper=(0, 0, 0, 0), ink=(0, 0, 0, 255), mode="RGBA"), "s.png"
        picture = picture.quantize(8)
    else:
        picture = scribble(ink=(0, 0, 0)).convert(mode)
        name = "s.jpg" if mode == "CMYK" else "s.png"
    artwork = loaded(tmp_path, picture, name)
    assert near(solid_colour(artwork), (0, 0, 0), 40)
    assert clear_share(artwork) > 0.6


def test_a_large_picture_is_made_smaller(tmp_path: Path) -> None:
    artwork = loaded(tmp_path, scribble(6000, 2000, thickness=50), "s.jpg")
    assert artwork.width <= 2400


def test_the_digest_is_of_the_file(tmp_path: Path) -> None:
    import hashlib

    artwork = loaded(tmp_path, scribble())
    assert artwork.sha256 == hashlib.sha256((tmp_path / "s.png").read_bytes()).hexdigest()


def test_the_same_file_gives_the_same_pixels(tmp_path: Path) -> None:
    scribble().save(tmp_path / "s.jpg")
    assert load_artwork(tmp_path / "s.jpg") == load_artwork(tmp_path / "s.jpg")


@pytest.mark.parametrize("paper", [(255, 255, 255), (235, 232, 225)])
def test_an_image_without_ink_is_refused(tmp_path: Path, paper: tuple[int, ...]) -> None:
    with pytest.raises(InputRefused, match="no ink"):
        loaded(tmp_path, Image.new("RGB", (300, 100), paper))


def test_a_wholly_transparent_image_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputRefused, match="no ink"):
        loaded(tmp_path, Image.new("RGBA", (300, 100), (0, 0, 0, 0)))


def test_faint_grain_is_no_ink(tmp_path: Path) -> None:
    sheet = Image.new("L", (300, 100), 240)
    ImageDraw.Draw(sheet).line((10, 50, 290, 60), fill=215, width=5)
    with pytest.raises(InputRefused, match="no ink"):
        loaded(tmp_path, sheet)


def test_light_ink_on_dark_paper_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputRefused, match="light paper"):
        loaded(tmp_path, scribble(paper=(20, 20, 20), ink=(250, 250, 250)))


def test_a_picture_that_is_mostly_dark_is_refused(tmp_path: Path) -> None:
    sheet = Image.new("RGB", (400, 200), "white")
    draw = ImageDraw.Draw(sheet)
    for x in range(0, 400, 10):
        draw.rectangle((x, 0, x + 6, 200), fill="black")
    with pytest.raises(InputRefused, match="dark"):
        loaded(tmp_path, sheet)


def test_a_single_pixel_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputRefused, match="cannot hold a signature"):
        loaded(tmp_path, Image.new("RGB", (1, 1), "black"))


def test_a_side_at_the_limit_is_refused(tmp_path: Path) -> None:
    with pytest.raises(OverLimit, match="20000"):
        loaded(tmp_path, Image.new("1", (20_000, 16), 1))


def test_too_many_pixels_are_refused_before_they_are_decoded(tmp_path: Path) -> None:
    header = struct.pack(">IIBBBBB", 19_000, 19_000, 8, 2, 0, 0, 0)
    chunk = struct.pack(">I", len(header)) + b"IHDR" + header
    chunk += struct.pack(">I", zlib.crc32(b"IHDR" + header))
    data = struct.pack(">I", 0) + b"IDAT" + struct.pack(">I", zlib.crc32(b"IDAT"))
    (tmp_path / "s.png").write_bytes(b"\x89PNG\r\n\x1a\n" + chunk + data)
    with pytest.raises(OverLimit):
        load_artwork(tmp_path / "s.png")


def test_an_animated_png_is_refused(tmp_path: Path) -> None:
    second = scribble(ink=(0, 0, 0))
    with pytest.raises(InputRefused, match="animated"):
        loaded(tmp_path, scribble(), save_all=True, append_images=[second])


@pytest.mark.parametrize("name", ["s.png", "s.jpg"])
def test_a_file_that_is_cut_off_is_refused(tmp_path: Path, name: str) -> None:
    scribble().save(tmp_path / name)
    whole = (tmp_path / name).read_bytes()
    for length in (9, len(whole) // 3, len(whole) - 200):
        (tmp_path / name).write_bytes(whole[:length])
        with pytest.raises(Damaged):
            load_artwork(tmp_path / name)


@pytest.mark.parametrize("kind", ["GIF", "TIFF", "BMP", "WEBP"])
def test_another_kind_of_picture_is_refused_whatever_its_name(tmp_path: Path, kind: str) -> None:
    with pytest.raises(Damaged, match="none of them"):
        loaded(tmp_path, scribble(), format=kind)


def test_a_missing_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(Damaged):
        load_artwork(tmp_path / "gone.png")


def test_an_artwork_does_not_print_its_pixels(tmp_path: Path) -> None:
    assert "rgba" not in repr(loaded(tmp_path, scribble()))

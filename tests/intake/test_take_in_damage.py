"""Whatever bytes a source file holds, taking it in ends in pages or in one of our errors."""

import io
from functools import cache
from pathlib import Path

import pikepdf
import pytest
from drawn_pages import form_front, letter, pdf_of
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from packets.base.errors import InputRefused
from packets.base.limits import Limits
from packets.intake.take_in import take_in

KINDS = ("sound.pdf", "packed.pdf", "a.png", "a.jpg", "lzw.tif", "fax.tif")
SMALL = Limits(stream_bytes=4_000_000, picture_pixels=4_000_000)


@cache
def _sound(name: str) -> bytes:
    """A sound file of each kind."""
    target = io.BytesIO()
    if name.endswith(".pdf"):
        plain = pdf_of(form_front("1040", "U.S. Individual Income Tax Return"), letter("Words."))
        if name == "sound.pdf":
            return plain
        with pikepdf.open(io.BytesIO(plain)) as pdf:
            pdf.save(target, object_stream_mode=pikepdf.ObjectStreamMode.generate)
        return target.getvalue()
    image = Image.radial_gradient("L").resize((60, 40)).convert("RGB")
    exif = Image.Exif()
    exif[0x0112] = 6
    if name == "fax.tif":
        image.convert("1").save(target, format="TIFF", compression="group4", exif=exif)
    elif name == "lzw.tif":
        image.save(target, format="TIFF", compression="tiff_lzw", exif=exif)
    else:
        image.save(target, format="PNG" if name == "a.png" else "JPEG", exif=exif)
    return target.getvalue()


_EDITS = st.lists(
    st.tuples(st.sampled_from(["set", "cut", "repeat"]), st.floats(0, 1), st.binary(max_size=12)),
    min_size=1,
    max_size=8,
)


def _edited(data: bytes, edits: list[tuple[str, float, bytes]]) -> bytes:
    for what, share, more in edits:
        at = int(share * len(data))
        if what == "set":
            data = data[:at] + more + data[at + len(more) :]
        elif what == "cut":
            data = data[:at] + data[at + 7 * len(more) + 1 :]
        else:
            data = data[:at] + data[max(0, at - 40) : at] + data[at:]
    return data


@pytest.mark.parametrize("name", KINDS)
@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(edits=_EDITS)
def test_a_file_edited_at_random_gives_pages_or_one_of_our_errors(
    tmp_path: Path, name: str, edits: list[tuple[str, float, bytes]]
) -> None:
    path = tmp_path / name
    path.write_bytes(_edited(_sound(name), edits))
    try:
        taken = take_in(path, SMALL)
    except InputRefused:
        return
    with pikepdf.open(io.BytesIO(taken.pdf)) as pdf:
        assert len(pdf.pages) == taken.pages > 0
        assert not pdf.is_encrypted


@pytest.mark.parametrize("name", KINDS)
def test_the_sound_files_of_this_test_are_taken(tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    path.write_bytes(_sound(name))
    assert take_in(path, SMALL).pages == (2 if name.endswith(".pdf") else 1)

"""The committed folders are the script's own work, and it draws the same thing each time."""

import tomllib
from importlib.metadata import version
from pathlib import Path

import pytest
from PIL import Image, ImageChops, ImageSequence
from sample_scan import (
    FOLDERS,
    ROOT,
    draw_again,
    drawn_paths,
    field_values,
    printed_words,
    sample_files,
    short,
)


@pytest.fixture(scope="module")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folders, drawn anew."""
    folder = tmp_path_factory.mktemp("drawn")
    draw_again(folder)
    return folder


def other_libraries() -> list[str]:
    """Drawing libraries that are not those the committed files were made with."""
    recorded = tomllib.loads((ROOT / "made-with.toml").read_text("utf-8"))
    return [name for name, number in recorded.items() if version(name) != number]


def test_the_script_draws_exactly_the_committed_files(drawn: Path) -> None:
    made = {path.relative_to(drawn) for path in drawn_paths(drawn)}
    kept = {path.relative_to(ROOT) for path in drawn_paths(ROOT)}
    assert made == kept


@pytest.mark.parametrize("path", sample_files(), ids=short)
def test_each_committed_file_has_the_bytes_that_the_script_draws(path: Path, drawn: Path) -> None:
    others = other_libraries()
    if others:
        pytest.skip(f"made with other versions of {', '.join(others)}: contents are compared below")
    assert (drawn / path.relative_to(ROOT)).read_bytes() == path.read_bytes()


def test_drawing_twice_gives_the_same_bytes(drawn: Path, tmp_path: Path) -> None:
    draw_again(tmp_path)
    for path in sorted(tmp_path.rglob("*")):
        if path.is_file():
            assert path.read_bytes() == (drawn / path.relative_to(tmp_path)).read_bytes(), path.name


@pytest.mark.parametrize("path", sample_files(".pdf"), ids=short)
def test_each_pdf_says_what_the_script_draws(path: Path, drawn: Path) -> None:
    """Holds whatever the versions of the drawing libraries."""
    again, kept = (drawn / path.relative_to(ROOT)).read_bytes(), path.read_bytes()
    assert printed_words(again) == printed_words(kept)
    assert field_values(again) == field_values(kept)


@pytest.mark.parametrize("path", sample_files(".png", ".jpg", ".tif"), ids=short)
def test_each_picture_shows_what_the_script_draws(path: Path, drawn: Path) -> None:
    """Up to what encoders may do: no pixel block differs by more than a shade."""
    with Image.open(path) as kept, Image.open(drawn / path.relative_to(ROOT)) as again:
        frames = zip(ImageSequence.Iterator(kept), ImageSequence.Iterator(again), strict=True)
        for one, two in frames:
            assert one.size == two.size
            small = (one.width // 8, one.height // 8)
            shades = [
                frame.convert("L").resize(small, Image.Resampling.BOX) for frame in (one, two)
            ]
            _, most = ImageChops.difference(*shades).getextrema()
            assert most <= 12


def test_only_the_owner_may_read_the_numbers_that_the_script_writes(drawn: Path) -> None:
    for name in FOLDERS:
        assert (drawn / name / "identifiers.toml").stat().st_mode & 0o777 == 0o600


def test_all_files_together_stay_small() -> None:
    assert sum(path.stat().st_size for path in sample_files()) < 4_000_000

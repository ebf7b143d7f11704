"""A key is the same from run to run, and only one that nobody else had a hand in counts."""

import os
from pathlib import Path

import pytest

from packets.base.kept_key import kept_key


def test_a_key_stays_and_is_ours_alone(tmp_path: Path) -> None:
    file = tmp_path / "key"
    first = kept_key(file, 32)
    assert len(first) == 32
    assert kept_key(file, 32) == first
    assert file.stat().st_mode & 0o777 == 0o600


def spoil(file: Path, how: str) -> None:
    if how == "others may read it":
        file.chmod(0o640)
    elif how == "it is short":
        file.write_bytes(b"abc")
    else:
        file.unlink()
        os.mkfifo(file)


@pytest.mark.parametrize("how", ["others may read it", "it is short", "a pipe is in its place"])
def test_a_key_in_doubt_is_replaced_and_what_it_sealed_forgotten(tmp_path: Path, how: str) -> None:
    file, forgotten = tmp_path / "key", []
    first = kept_key(file, 32)
    spoil(file, how)
    second = kept_key(file, 32, anew=lambda: forgotten.append(how))
    assert second != first
    assert forgotten == [how]
    assert kept_key(file, 32) == second


def test_a_link_in_its_place_is_refused(tmp_path: Path) -> None:
    (tmp_path / "elsewhere").write_bytes(b"x" * 32)
    (tmp_path / "key").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(OSError):  # noqa: PT011 - its number tells of links
        kept_key(tmp_path / "key", 32)

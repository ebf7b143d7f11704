"""`SHA256SUMS` holds one line per packet and is understood by `sha256sum -c`."""

import shutil
import subprocess
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packets.base.canonical import sha256_hex
from packets.sealing.checksum_list import (
    FILE_NAME,
    checksum_line,
    names_packet,
    read_list,
    with_packet,
    without_packet,
)

NAMES = st.text(
    st.characters(exclude_characters="/\0", exclude_categories=("Cs",)), min_size=1, max_size=12
)
DIGEST = sha256_hex(b"packet")


def sha256sum(folder: Path, *arguments: str) -> subprocess.CompletedProcess[bytes]:
    command = ["sha256sum", *arguments]
    return subprocess.run(command, cwd=folder, capture_output=True, check=False)


@pytest.mark.skipif(not shutil.which("sha256sum"), reason="GNU coreutils are not here")
@pytest.mark.parametrize(
    "name",
    [
        "2025-0147-client-copy.pdf",
        "with two  spaces .pdf",
        "quotes ' and \".pdf",
        "Ünïcödé ответ 控え.pdf",
        "back\\slash.pdf",
        "line\nfeed.pdf",
        "\\n.pdf",
        "-starts-with-dash.pdf",
        "*star.pdf",
    ],
)
def test_the_reference_program_accepts_every_name(tmp_path: Path, name: str) -> None:
    listed = b""
    for each in (name, "another.pdf"):
        (tmp_path / each).write_bytes(each.encode())
        listed = with_packet(listed, each, sha256_hex(each.encode()))
    (tmp_path / FILE_NAME).write_bytes(listed)
    assert sha256sum(tmp_path, "--check", "--strict", FILE_NAME).returncode == 0
    (tmp_path / name).write_bytes(b"altered")
    assert sha256sum(tmp_path, "--check", "--strict", FILE_NAME).returncode == 1


@pytest.mark.skipif(not shutil.which("sha256sum"), reason="GNU coreutils are not here")
@pytest.mark.parametrize("name", ["plain.pdf", "back\\slash.pdf", "line\nfeed.pdf", "a b.pdf"])
def test_our_line_is_the_one_the_reference_program_writes(tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_bytes(b"packet")
    assert checksum_line(name, DIGEST) == sha256sum(tmp_path, "--", name).stdout


@given(st.lists(NAMES, unique=True, max_size=6))
def test_each_packet_has_one_line_in_whatever_order_they_came(names: list[str]) -> None:
    forward = backward = b""
    for name in names:
        forward = with_packet(with_packet(forward, name, "0" * 64), name, DIGEST)
    for name in reversed(names):
        backward = with_packet(backward, name, DIGEST)
    assert forward == backward
    assert forward.count(b"\n") == len(names)
    assert all(names_packet(forward, name) for name in names)


@given(st.lists(NAMES, unique=True, min_size=1, max_size=6))
def test_taking_a_line_out_leaves_the_others(names: list[str]) -> None:
    listed = b""
    for name in names[1:]:
        listed = with_packet(listed, name, DIGEST)
    added = with_packet(listed, names[0], DIGEST)
    assert without_packet(added, names[0]) == listed
    assert not names_packet(listed, names[0])


def test_a_line_without_its_line_feed_is_kept_whole() -> None:
    foreign = f"{DIGEST} *other.zip".encode()
    assert with_packet(foreign, "a.pdf", DIGEST) == (
        checksum_line("a.pdf", DIGEST) + foreign + b"\n"
    )


def test_a_folder_without_a_list_has_an_empty_one(tmp_path: Path) -> None:
    assert read_list(tmp_path) == b""

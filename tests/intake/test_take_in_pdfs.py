"""PDF sources: passed on unchanged, unlocked in memory, or refused with the remedy."""

import io
import os
import zlib
from pathlib import Path

import pikepdf
import pytest
from client_folders import lay_out, write_secret
from drawn_pages import letter, pdf_of

from packets.base.canonical import sha256_hex
from packets.base.errors import Damaged, InputRefused, Locked, OverLimit
from packets.base.limits import Limits
from packets.base.secret import Secret
from packets.intake.bounded_filters import inflated, lzw_length
from packets.intake.client_folder import open_client_folder
from packets.intake.take_in import take_in

PDF = pdf_of(letter("One."), letter("Two."))


def _at(tmp_path: Path, data: bytes, name: str = "a.pdf") -> Path:
    path = tmp_path / name
    path.write_bytes(data)
    return path


def _locked(user: str, owner: str = "owner words") -> bytes:
    target = io.BytesIO()
    with pikepdf.open(io.BytesIO(PDF)) as pdf:
        pdf.save(target, encryption=pikepdf.Encryption(user=user, owner=owner, R=6))
    return target.getvalue()


def test_a_sound_pdf_passes_byte_for_byte_with_its_hash(tmp_path: Path) -> None:
    taken = take_in(_at(tmp_path, PDF), name="documents/a.pdf")
    assert taken.pdf == PDF
    assert (taken.file, taken.pages, taken.media) == ("documents/a.pdf", 2, "application/pdf")
    assert taken.sha256 == sha256_hex(PDF)
    assert taken.notes == ()


def test_a_pdf_with_an_empty_password_is_unlocked_in_memory(tmp_path: Path) -> None:
    data = _locked("")
    path = _at(tmp_path, data)
    taken = take_in(path)
    assert path.read_bytes() == data
    assert taken.sha256 == sha256_hex(data)
    with pikepdf.open(io.BytesIO(taken.pdf)) as pdf:
        assert not pdf.is_encrypted
    assert "unlocked" in taken.notes[0]
    assert take_in(path) == taken


def test_a_locked_pdf_opens_with_any_of_the_given_passwords(tmp_path: Path) -> None:
    passwords = (Secret("wrong"), Secret("open ü sesame"))
    taken = take_in(_at(tmp_path, _locked("open ü sesame")), passwords=passwords)
    with pikepdf.open(io.BytesIO(taken.pdf)) as pdf:
        assert not pdf.is_encrypted
        assert len(pdf.pages) == 2
    assert "sesame" not in repr(taken.notes)


@pytest.mark.parametrize("passwords", [(), (Secret("wrong words"),)])
def test_a_locked_pdf_that_nothing_opens_is_refused_with_the_remedy(
    tmp_path: Path, passwords: tuple[Secret, ...]
) -> None:
    with pytest.raises(Locked) as caught:
        take_in(_at(tmp_path, _locked("right words")), passwords=passwords)
    assert "keys/source-passwords.txt" in caught.value.remedy
    assert "wrong" not in str(caught.value)


def test_passwords_of_the_client_folder_reach_its_documents(tmp_path: Path) -> None:
    root = lay_out(tmp_path / "c", {"a.pdf": _locked("right words")})
    write_secret(root / "keys" / "source-passwords.txt", "other\nright words\n")
    folder = open_client_folder(root)
    assert take_in(folder.files[0].path, passwords=folder.passwords).pages == 2


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "empty"),
        (b"<!DOCTYPE html><html></html>", "web page"),
        (b"PK\x03\x04rest", "archive or office file"),
        (b"\x89PNG\r\n\x1a\n", "a PNG picture"),
        (b"\xff\xd8\xff\xe0", "a JPEG picture"),
        (b"just words", "none of PDF"),
    ],
)
def test_a_file_that_is_not_what_its_name_says_is_damaged_and_says_what_it_is(
    tmp_path: Path, data: bytes, words: str
) -> None:
    with pytest.raises(Damaged, match=words) as caught:
        take_in(_at(tmp_path, data))
    assert caught.value.where == "a.pdf"
    assert caught.value.remedy


def test_a_picture_that_is_a_pdf_tells_the_ending_it_needs(tmp_path: Path) -> None:
    with pytest.raises(Damaged) as caught:
        take_in(_at(tmp_path, PDF, "a.jpg"))
    assert ".pdf" in caught.value.remedy


@pytest.mark.parametrize("length", [9, 40, 300])
def test_a_pdf_cut_off_early_is_damaged(tmp_path: Path, length: int) -> None:
    with pytest.raises(Damaged):
        take_in(_at(tmp_path, PDF[:length]))


def test_a_pdf_without_pages_is_damaged(tmp_path: Path) -> None:
    target = io.BytesIO()
    pikepdf.new().save(target)
    with pytest.raises(Damaged, match="no pages"):
        take_in(_at(tmp_path, target.getvalue()))


def test_a_wrong_cross_reference_table_is_repaired_and_told(tmp_path: Path) -> None:
    broken = PDF.replace(b"startxref\n", b"startxref\n9")
    taken = take_in(_at(tmp_path, broken))
    assert taken.pages == 2
    assert "repaired" in taken.notes[0]
    with pikepdf.open(io.BytesIO(taken.pdf)) as pdf:
        assert not pdf.get_warnings()


def test_bytes_before_the_header_do_not_hide_a_pdf(tmp_path: Path) -> None:
    assert take_in(_at(tmp_path, b"\r\n junk \n" + PDF)).pages == 2


@pytest.mark.parametrize(
    ("limits", "words"),
    [
        (Limits(file_bytes=100), "more than"),
        (Limits(pages=1), "pages"),
        (Limits(objects=3), "objects"),
    ],
)
def test_a_file_over_a_limit_is_refused_by_name(tmp_path: Path, limits: Limits, words: str) -> None:
    with pytest.raises(OverLimit, match=words) as caught:
        take_in(_at(tmp_path, PDF), limits)
    assert caught.value.where == "a.pdf"


def _with_stream(data: bytes, filters: list[str]) -> bytes:
    target = io.BytesIO()
    with pikepdf.open(io.BytesIO(PDF)) as pdf:
        stream = pdf.make_stream(data)
        stream.Filter = pikepdf.Array([pikepdf.Name(name) for name in filters])
        pdf.Root.Bomb = stream
        pdf.save(target, stream_decode_level=pikepdf.StreamDecodeLevel.none, compress_streams=False)
    return target.getvalue()


_ZEROS = b"\0" * 3_000_000


@pytest.mark.parametrize(
    ("data", "filters"),
    [
        (zlib.compress(_ZEROS), ["/FlateDecode"]),
        (zlib.compress(zlib.compress(_ZEROS)), ["/FlateDecode", "/FlateDecode"]),
        (zlib.compress(_ZEROS).hex().encode() + b">", ["/ASCIIHexDecode", "/FlateDecode"]),
        (bytes((129, 0)) * 30_000, ["/RunLengthDecode"]),
        (b"x", ["/FlateDecode"] * 7),
        (b"\x80" * 2000, ["/LZWDecode", "/FlateDecode"]),
    ],
)
def test_a_stream_that_unpacks_beyond_the_limit_is_refused(
    tmp_path: Path, data: bytes, filters: list[str]
) -> None:
    path = _at(tmp_path, _with_stream(data, filters))
    with pytest.raises(OverLimit, match="unpacks"):
        take_in(path, Limits(stream_bytes=1_000_000))


def test_streams_within_the_limit_pass(tmp_path: Path) -> None:
    path = _at(tmp_path, _with_stream(zlib.compress(_ZEROS), ["/FlateDecode"]))
    assert take_in(path, Limits(stream_bytes=3_000_000)).pages == 2


def test_unpacking_stops_at_the_limit() -> None:
    assert inflated(zlib.compress(_ZEROS), 2_999_999) is None
    assert inflated(zlib.compress(_ZEROS), 3_000_000) == _ZEROS
    assert inflated(b"not deflate", 10) == b""


def test_the_length_under_lzw_is_counted() -> None:
    # ISO 32000-2, 7.4.4.2, example: nine codes for the ten bytes -----A---B.
    packed = bytes.fromhex("800B6050220C0C8501")
    assert lzw_length(packed, 1000) == 10
    assert lzw_length(packed, 3) > 3


def test_a_file_that_cannot_be_read_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputRefused, match="cannot be read"):
        take_in(tmp_path / "absent.pdf")


def test_a_folder_or_pipe_is_refused_and_blocks_nothing(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.pdf")
    for path in (tmp_path, tmp_path / "pipe.pdf"):
        with pytest.raises(InputRefused, match="no file"):
            take_in(path)


def test_a_number_in_a_file_name_is_not_repeated(tmp_path: Path) -> None:
    with pytest.raises(Damaged) as caught:
        take_in(_at(tmp_path, b"", "000-12-3456.pdf"))
    assert "3456" not in str(caught.value)

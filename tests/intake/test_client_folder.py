"""What makes a client folder, and what is refused before any document is read."""

import os
import sys
from pathlib import Path

import pytest
from client_folders import lay_out, write_secret
from drawn_pages import letter, pdf_of

from packets.base.errors import FileFaults, InputRefused, UsageError
from packets.intake.client_folder import open_client_folder

PDF = pdf_of(letter("Enclosed is a copy."))


def test_a_folder_that_is_not_there_is_a_usage_error(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="no such folder"):
        open_client_folder(tmp_path / "absent")


def test_a_folder_without_engagement_file_points_to_the_command_that_makes_one(
    tmp_path: Path,
) -> None:
    (tmp_path / "documents").mkdir()
    with pytest.raises(UsageError, match=r"no engagement\.toml") as caught:
        open_client_folder(tmp_path)
    assert "packets new" in caught.value.remedy


def test_a_folder_without_documents_points_to_the_command_that_makes_one(tmp_path: Path) -> None:
    (tmp_path / "engagement.toml").write_text("", encoding="utf-8")
    with pytest.raises(UsageError, match="no documents") as caught:
        open_client_folder(tmp_path)
    assert "packets new" in caught.value.remedy


@pytest.mark.parametrize(
    "name", ["Pat Sample", 'O\'Neil "& Co"', "Příklad Łódź", "Пример", "例 お客様", "عميل"]
)
def test_folders_and_files_with_any_name_open(tmp_path: Path, name: str) -> None:
    file = f"{name} 1.pdf".replace("/", "")
    folder = open_client_folder(lay_out(tmp_path / name, {file: PDF}))
    assert [found.name for found in folder.files] == [f"documents/{file}"]
    assert folder.engagement.engagement.id == "2025-0147"


def test_files_come_in_the_order_a_person_counts(tmp_path: Path) -> None:
    names = ["scan-10.pdf", "scan-2.pdf", "Scan-1.pdf", "w-2/a.pdf"]
    folder = open_client_folder(lay_out(tmp_path / "c", dict.fromkeys(names, PDF)))
    assert [found.name.removeprefix("documents/") for found in folder.files] == [
        "Scan-1.pdf",
        "scan-2.pdf",
        "scan-10.pdf",
        "w-2/a.pdf",
    ]
    assert folder.files[-1].subfolder == "w-2"


@pytest.mark.parametrize(
    "name",
    [".hidden.pdf", ".DS_Store", "Thumbs.db", "desktop.ini", "a.pdf~", "~$a.pdf", "#a.pdf#"],
)
def test_clutter_is_passed_over_and_told(tmp_path: Path, name: str) -> None:
    folder = open_client_folder(lay_out(tmp_path / "c", {"a.pdf": PDF, name: b"x"}))
    assert len(folder.files) == 1
    assert [line for line in folder.ignored if name in line]


def test_every_file_that_cannot_be_taken_is_named_at_once(tmp_path: Path) -> None:
    files = {"a.docx": b"PK", "b.heic": b"x", "c": b"%PDF-1.7", "good.pdf": PDF, "d/e.zip": b"PK"}
    with pytest.raises(InputRefused) as caught:
        open_client_folder(lay_out(tmp_path / "c", files))
    for name in ("a.docx", "b.heic", "documents/c:", "d/e.zip"):
        assert name in str(caught.value)
    assert "good.pdf" not in str(caught.value)
    assert "4 files" in str(caught.value)


def test_a_file_name_with_a_taxpayer_number_is_refused_without_repeating_it(
    tmp_path: Path,
) -> None:
    names = [
        "Sample 000-12-3456 W2.pdf",
        "666123456.pdf",
        "ein 00-1234567.pdf",
        "０００-12-3456.pdf",
    ]
    with pytest.raises(InputRefused) as caught:
        open_client_folder(lay_out(tmp_path / "c", dict.fromkeys(names, PDF)))
    assert str(caught.value).count("rename the file") == 4
    assert not any(run in str(caught.value) for run in ("3456", "123456", "1234567"))


def test_file_names_of_scanners_and_telephones_are_taken(tmp_path: Path) -> None:
    names = ["20260210123456.pdf", "IMG_20260210_093011.pdf", "scan 2026-02-10.pdf"]
    assert len(open_client_folder(lay_out(tmp_path / "c", dict.fromkeys(names, PDF))).files) == 3


def test_a_name_with_a_line_break_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputRefused, match="cannot be shown") as caught:
        open_client_folder(lay_out(tmp_path / "c", {"a\nb.pdf": PDF}))
    assert "a?b.pdf" in str(caught.value)


def test_a_link_that_leads_out_of_the_folder_is_refused_by_name(tmp_path: Path) -> None:
    outside = tmp_path / "other.pdf"
    outside.write_bytes(PDF)
    root = lay_out(tmp_path / "c")
    (root / "documents" / "link.pdf").symlink_to(outside)
    (root / "documents" / "dead.pdf").symlink_to(root / "nothing.pdf")
    (root / "documents" / "loop.pdf").symlink_to(root / "documents" / "loop.pdf")
    with pytest.raises(InputRefused, match="leads out") as caught:
        open_client_folder(root)
    assert all(name in str(caught.value) for name in ("link.pdf", "dead.pdf", "loop.pdf"))


def test_a_link_inside_the_folder_is_taken_but_no_link_to_a_folder(tmp_path: Path) -> None:
    root = lay_out(tmp_path / "c", {"a.pdf": PDF})
    (root / "documents" / "b.pdf").symlink_to("a.pdf")
    assert len(open_client_folder(root).files) == 2
    (root / "documents" / "again").symlink_to(root / "documents")
    with pytest.raises(InputRefused, match="link to a folder"):
        open_client_folder(root)


@pytest.mark.parametrize("name", ["engagement.toml", "identifiers.toml", "documents"])
def test_no_part_of_the_folder_may_be_a_link_to_elsewhere(tmp_path: Path, name: str) -> None:
    root = lay_out(tmp_path / "c", identifiers="")
    moved = tmp_path / f"elsewhere-{name}"
    (root / name).rename(moved)
    (root / name).symlink_to(moved)
    with pytest.raises(InputRefused, match="leads out"):
        open_client_folder(root)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no pipes in folders")
def test_a_pipe_among_the_documents_is_refused_and_blocks_nothing(tmp_path: Path) -> None:
    root = lay_out(tmp_path / "c")
    os.mkfifo(root / "documents" / "pipe.pdf")
    with pytest.raises(InputRefused, match="neither a file nor a folder"):
        open_client_folder(root)


@pytest.mark.skipif(sys.platform == "win32", reason="this system keeps no modes")
@pytest.mark.parametrize("name", ["identifiers.toml", "keys/source-passwords.txt"])
@pytest.mark.parametrize("mode", [0o640, 0o604, 0o620, 0o666])
def test_a_secret_file_that_others_may_open_is_closed_and_told(
    tmp_path: Path, name: str, mode: int
) -> None:
    root = lay_out(tmp_path / "c")
    write_secret(root / name, "", mode)
    notes = open_client_folder(root).notes
    assert notes == (f"{name} was open to other accounts of this machine; it is closed now",)
    assert (root / name).stat().st_mode & 0o077 == 0
    assert open_client_folder(root).notes == ()


@pytest.mark.skipif(sys.platform == "win32", reason="this system keeps no modes")
def test_a_secret_file_that_stays_open_is_refused_with_the_remedy(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    root = lay_out(tmp_path / "c")
    write_secret(root / "identifiers.toml", "", 0o644)
    monkeypatch.setattr(Path, "chmod", lambda self, mode: None)  # as for a file of another owner
    with pytest.raises(UsageError, match="other accounts") as caught:
        open_client_folder(root)
    assert "chmod 600 'identifiers.toml'" in caught.value.remedy


def test_source_passwords_are_read_one_a_line_and_stay_secret(tmp_path: Path) -> None:
    root = lay_out(tmp_path / "c")
    write_secret(root / "keys" / "source-passwords.txt", "first one\n\nzweites ü \n")
    folder = open_client_folder(root)
    assert [secret.reveal() for secret in folder.passwords] == ["first one", "zweites ü "]
    assert "first" not in repr(folder)


def test_an_engagement_id_that_looks_like_a_taxpayer_number_is_a_fault(tmp_path: Path) -> None:
    for number in ("000-12-3456", "000123456", "00-1234567"):
        root = lay_out(
            tmp_path / number[:6],
            engagement=f'[engagement]\nid = "{number}"\ntax_year = 2025\nhousehold = "x"\n',
        )
        with pytest.raises(FileFaults, match="line 2") as caught:
            open_client_folder(root)
        assert number not in str(caught.value)

"""`packets sign preview`: pictures of the places, masked, for one reader; nothing is built."""

import shutil
import stat
from pathlib import Path

import pymupdf
import pytest
from office_folders import Run, run_packets, sample_copy
from PIL import Image
from test_signing_in_packets import RECIPE

from packets.reading.ocr import OcrReader

SSN = "666-12-3456"


@pytest.fixture
def client(tmp_path: Path) -> Path:
    """A single filer with nothing but Form 8879."""
    folder = sample_copy("single-filer", tmp_path / "clients" / "0152")
    for path in (folder / "documents").iterdir():
        if path.name != "form-8879.pdf":
            shutil.rmtree(path) if path.is_dir() else path.unlink()
    (tmp_path / "signed.toml").write_text(RECIPE)
    return folder


def preview(client: Path, *more: object) -> Run:
    recipe = client.parents[1] / "signed.toml"
    return run_packets("sign", "preview", client, "--recipe", recipe, *more, "--json")


def test_each_place_is_a_picture_that_only_its_owner_reads(client: Path) -> None:
    run = preview(client)
    assert run.status == 0, run.said
    pictures = [Path(entry["picture"]) for entry in run.document["pictures"]]
    assert [entry["role"] for entry in run.document["pictures"]] == ["taxpayer", "ero"]
    assert {path.parent for path in pictures} == {client / "previews" / "signed"}
    for path in (*pictures, client / "previews", client / "previews" / "signed"):
        assert stat.S_IMODE(path.stat().st_mode) & 0o077 == 0
    with Image.open(pictures[0]) as picture:
        colours = picture.convert("RGB").getcolors(1 << 24) or []
        assert sum(count for count, (r, g, b) in colours if b > r + 40) > 200  # blue ink


def test_numbers_around_the_place_are_masked_for_every_audience(client: Path) -> None:
    recipe = client.parents[1] / "signed.toml"
    assert 'audience = "office"' in recipe.read_text()  # its packet keeps full numbers
    form = client / "documents" / "form-8879.pdf"
    with pymupdf.open(form) as document:
        document[0].insert_text((330, 428), f"SSN {SSN}", fontsize=14)
        form.write_bytes(document.tobytes())
    run = preview(client)
    read = ""
    with OcrReader() as ocr:
        for entry in run.document["pictures"]:
            with Image.open(entry["picture"]) as picture:
                words = ocr.read(picture.convert("L"), turn=False).words
                read += " ".join(word.text for word in words)
    assert SSN[-4:] in read  # the place is on the picture
    assert SSN[:6] not in read
    assert SSN not in run.said


def test_nothing_is_built_and_no_line_is_written_to_the_ledger(client: Path) -> None:
    before = {path.relative_to(client) for path in client.rglob("*")}
    preview(client)
    after = {path.relative_to(client) for path in client.rglob("*")}
    assert {path.parts[0] for path in after - before} == {"previews"}


def test_a_line_left_open_is_told_and_old_pictures_go(client: Path) -> None:
    preview(client)
    grants = client / "signatures" / "grants.toml"
    grants.write_text(grants.read_text().replace("agi = 40671", "agi = 99"))
    run = preview(client)
    assert [entry["role"] for entry in run.document["pictures"]] == ["ero"]
    assert any("figures unchanged" in words for words in run.document["open"])
    assert len(list((client / "previews" / "signed").iterdir())) == 1


def test_a_named_folder_is_used_and_a_folder_of_sources_refused(client, tmp_path) -> None:
    run = preview(client, "--out", tmp_path / "look")
    assert len(list((tmp_path / "look").glob("*.png"))) == 2
    assert not (client / "previews").exists()
    assert run.status == 0
    for name in ("documents", "keys", "signatures"):
        assert preview(client, "--out", client / name).status == 2


def test_the_summary_says_what_to_look_for(client: Path) -> None:
    recipe = client.parents[1] / "signed.toml"
    said = run_packets("sign", "preview", client, "--recipe", recipe).said
    assert "2 pictures of signing places" in said
    assert "1 line asks for the taxpayer, 1 signed" in said
    assert "only you may read them" in " ".join(said.split())

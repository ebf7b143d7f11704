"""The check over a folder: one verdict for each file, and nothing unread passes."""

import io
import json
from pathlib import Path

import pikepdf
import pytest
from outbound_pages import opened, page_pdf

from packets.base.progress import Step
from packets.base.secret import Secret
from packets.identifiers.kinds import Kind, KnownNumber, MaskPolicy
from packets.outbound.folder import check_path
from packets.outbound.keys import keys_for
from packets.outbound.records import Judgement, Verdict

KNOWN = (KnownNumber(Kind.SSN, Secret("000123456")),)
DIGEST = "a123456789b" + "0" * 53


def judged(path: Path) -> dict[str, Verdict]:
    verdicts = check_path(path, known=KNOWN, policy=MaskPolicy())
    return {verdict.file: verdict for verdict in verdicts}


def locked_pdf() -> bytes:
    pdf = opened("Taxpayer XXX-XX-3456")
    out = io.BytesIO()
    pdf.save(out, encryption=pikepdf.Encryption(user="five plain words", owner="x", R=6))
    return out.getvalue()


@pytest.fixture
def client(tmp_path: Path) -> Path:
    for name in ("outbound", "keys"):
        (tmp_path / name).mkdir()
    (tmp_path / "outbound" / "a.pdf").write_bytes(locked_pdf())
    (tmp_path / "keys" / "a.pdf.txt").write_text("five plain words\n")
    manifest = {"manifest": 1, "sha256": DIGEST, "bytes": 123456789, "packet": "a.pdf"}
    (tmp_path / "outbound" / "a.pdf.manifest.json").write_text(json.dumps(manifest))
    (tmp_path / "outbound" / "SHA256SUMS").write_text(f"{DIGEST}  a.pdf\n")
    return tmp_path


def test_a_finished_folder_is_clean(client: Path) -> None:
    verdicts = judged(client / "outbound")
    assert list(verdicts) == ["SHA256SUMS", "a.pdf", "a.pdf.manifest.json"]
    assert {verdict.judgement for verdict in verdicts.values()} == {Judgement.CLEAN}
    assert all(verdict.unread == () for verdict in verdicts.values())


def test_a_packet_without_its_key_is_held(client: Path) -> None:
    (client / "keys" / "a.pdf.txt").unlink()
    verdict = judged(client / "outbound")["a.pdf"]
    assert verdict.judgement is Judgement.HELD
    assert verdict.unread == ("this file asks for a password",)


def test_a_single_file_is_judged_by_itself(client: Path) -> None:
    assert list(judged(client / "outbound" / "a.pdf")) == ["a.pdf"]


@pytest.mark.parametrize("data", [b"anything", bytes(range(256))])
@pytest.mark.parametrize("name", ["a.bin", "b.docx", "c.zip", "d.msg", "e.png"])
def test_a_file_of_another_kind_is_held(tmp_path: Path, name: str, data: bytes) -> None:
    (tmp_path / name).write_bytes(data)
    verdict = judged(tmp_path)[name]
    assert verdict.judgement is Judgement.HELD
    assert "cannot read" in verdict.unread[0]


def test_a_pdf_under_another_name_is_read_as_one(tmp_path: Path) -> None:
    (tmp_path / "a.bin").write_bytes(page_pdf("Number 666-12-3457 here"))
    assert judged(tmp_path)["a.bin"].sightings != ()


TEXTS = {
    "plain.txt": "the number is 000 12 3456",
    "table.csv": "name,number\nA. Example,666-12-3457\n",
    "page.html": "<p>SSN: <b>666123457</b></p>",
    "data.xml": "<ssn>666123457</ssn>",
    "string.json": '{"note": "666-12-3457"}',
    "bare.json": '{"note": "666123457"}',
    "labelled.json": '{"ssn": 666123457}',
    "key.json": '{"666-12-3457": 1}',
    "broken.json": '{"note": "666-12-3457"',
    "list.jsonl": '{"a": 1}\n{"note": "666-12-3457"}\n',
    "wide.txt": "the number is ６６６-１２-３４５７",
    "SHA256SUMS": DIGEST + "  666-12-3457.pdf\n",
}


@pytest.mark.parametrize("name", TEXTS)
def test_numbers_in_text_files_are_seen(tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_text(TEXTS[name], encoding="utf-8")
    verdict = judged(tmp_path)[name]
    assert verdict.judgement is Judgement.HELD
    assert verdict.sightings != ()


def test_a_utf_16_text_is_read(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text("the number is 666-12-3457", encoding="utf-16")
    assert judged(tmp_path)["a.txt"].sightings != ()


def test_a_text_file_that_is_no_text_is_held(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_bytes(bytes(range(256)) * 4)
    assert judged(tmp_path)["a.txt"].judgement is Judgement.HELD


def test_a_number_in_a_file_name_is_seen_and_not_repeated(tmp_path: Path) -> None:
    (tmp_path / "return 666-12-3457.pdf").write_bytes(page_pdf())
    (verdict,) = check_path(tmp_path, known=KNOWN, policy=MaskPolicy())
    assert verdict.judgement is Judgement.HELD
    assert verdict.sightings[0].place == "name of the file"
    assert "3457" not in repr(verdict)


def test_an_empty_folder_is_held(tmp_path: Path) -> None:
    (verdict,) = check_path(tmp_path, known=KNOWN, policy=MaskPolicy())
    assert verdict.judgement is Judgement.HELD


def test_a_missing_path_is_held(tmp_path: Path) -> None:
    (verdict,) = check_path(tmp_path / "gone.pdf", known=KNOWN, policy=MaskPolicy())
    assert verdict.judgement is Judgement.HELD


def test_sub_folders_are_looked_into(tmp_path: Path) -> None:
    (tmp_path / "deep" / "er").mkdir(parents=True)
    (tmp_path / "deep" / "er" / "a.pdf").write_bytes(page_pdf("Number 666-12-3457"))
    assert judged(tmp_path)["deep/er/a.pdf"].sightings != ()


def test_a_link_out_of_the_folder_is_held(tmp_path: Path) -> None:
    inside = tmp_path / "folder"
    inside.mkdir()
    (inside / "a.pdf").symlink_to(tmp_path / "nowhere.pdf")
    assert judged(inside)["a.pdf"].judgement is Judgement.HELD


def test_progress_names_files_and_pages(client: Path) -> None:
    steps: list[Step] = []
    check_path(client / "outbound", known=KNOWN, policy=MaskPolicy(), progress=steps.append)
    assert {step.station for step in steps} == {"check"}
    assert {"a.pdf", "text and pixels"} <= {step.detail for step in steps}


def test_keys_lie_beside_outbound_and_nowhere_else(client: Path) -> None:
    found = keys_for(client / "outbound" / "a.pdf")
    assert found == Secret("five plain words")
    assert keys_for(client / "outbound" / "b.pdf") is None
    assert keys_for(client / "keys" / "a.pdf") is None


def test_a_key_that_is_a_link_or_empty_or_long_is_none(client: Path) -> None:
    (client / "keys" / "b.pdf.txt").symlink_to(client / "keys" / "a.pdf.txt")
    (client / "keys" / "c.pdf.txt").write_text("\n")
    (client / "keys" / "d.pdf.txt").write_text("word " * 1000)
    assert [keys_for(client / "outbound" / f"{name}.pdf") for name in "bcd"] == [None] * 3

"""`packets sign`: what is recorded stays recorded, and nothing is written twice."""

import datetime as dt
import hashlib
import json
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, PngImagePlugin

from packets.cli.entry import run
from packets.sealing.ledger import entries, verify

SAMPLES = Path(__file__).parents[2] / "sample_pdfs"
FIGURES = {"agi": 40671, "total_tax": 2753, "withholding": 3312, "refund": 559, "amount_owed": 0}
WORDS = ("--how", "signature-pad", "--until", "2126-12-31", "--by", "front desk")
HAND = "# Ours.\n"


@pytest.fixture
def client(tmp_path: Path) -> Path:
    folder = tmp_path / "clients" / "0152"
    (folder / "signatures").mkdir(parents=True)
    (folder / "signatures" / "grants.toml").write_text(HAND)
    (folder / "engagement.toml").write_text("")
    return folder


@pytest.fixture
def image(tmp_path: Path) -> Path:
    """A picture that tells more than it should."""
    told = PngImagePlugin.PngInfo()
    told.add_text("Author", "somebody's telephone")
    path = tmp_path / "picture.png"
    with Image.open(SAMPLES / "single-filer" / "signatures" / "taxpayer.png") as picture:
        picture.save(path, pnginfo=told)
    return path


@pytest.fixture
def office(tmp_path: Path) -> Path:
    file = tmp_path / "clients" / "office.toml"
    file.write_text('[office]\nname = "Aldertree Tax"\nsignatures = "store"\n')
    return file


def sign(capsys: pytest.CaptureFixture[str], *words: object) -> tuple[int, dict[str, Any], str]:
    status = run(["sign", *map(str, words), "--json"])
    told = capsys.readouterr()
    return status, json.loads(told.out), told.err


def record(capsys, client, image, *more, role="taxpayer", covers="form-8879"):
    return sign(
        capsys,
        "record",
        client,
        "--role",
        role,
        "--image",
        image,
        "--covers",
        covers,
        *WORDS,
        *more,
    )


def events(folder: Path) -> list[str]:
    assert verify(folder).sound
    return [entry.event for entry in entries(folder)]


def test_a_grant_is_recorded_with_image_time_zone_and_ledger_line(client, image, capsys):
    status, document, _ = record(capsys, client, image, "--photo-id-seen")
    assert status == 0
    grant = document["grant"]
    assert (grant["id"].split("-")[1:], document["was_there"]) == (["taxpayer", "1"], False)
    assert grant["given_at"][-6] in "+-"
    assert grant["evidence"] == {"photo_id_seen": True}
    kept = client / "signatures" / grant["image"]
    assert hashlib.sha256(kept.read_bytes()).hexdigest() == grant["image_sha256"]
    assert events(client) == ["grant recorded"]
    assert entries(client)[0].facts["image_sha256"] == grant["image_sha256"]
    assert (client / "signatures" / "grants.toml").read_text().startswith(HAND + "\n[[grant]]\n")


def test_the_kept_image_tells_nothing_but_its_ink(client, image, capsys):
    _, document, _ = record(capsys, client, image)
    kept = client / "signatures" / document["grant"]["image"]
    assert b"telephone" in image.read_bytes()
    assert b"telephone" not in kept.read_bytes()
    with Image.open(kept) as picture:
        assert (picture.format, picture.mode, picture.info) == ("PNG", "RGBA", {})


def test_the_same_a_second_time_is_told_and_not_written(client, image, capsys):
    record(capsys, client, image)
    before = {path: path.read_bytes() for path in client.rglob("*") if path.is_file()}
    status, document, _ = record(capsys, client, image)
    assert (status, document["was_there"]) == (0, True)
    assert {path: path.read_bytes() for path in client.rglob("*") if path.is_file()} == before


def test_a_run_that_stopped_before_the_ledger_is_finished_by_the_next(client, image, capsys):
    record(capsys, client, image)
    (client / "ledger.jsonl").unlink()
    (client / "ledger.head").unlink()
    _, document, _ = record(capsys, client, image)
    assert document["was_there"]
    assert events(client) == ["grant recorded"]


def test_the_signed_document_gives_its_digest_and_the_figures_of_its_form(client, image, capsys):
    form = SAMPLES / "single-filer" / "documents" / "form-8879.pdf"
    _, document, _ = record(capsys, client, image, "--signed", form)
    assert document["grant"]["figures"] == FIGURES
    digest = hashlib.sha256(form.read_bytes()).hexdigest()
    assert document["grant"]["document_sha256"] == digest
    only = record(capsys, client, image, "--signed", form, "--bind", "figures")[1]["grant"]
    assert (only["figures"], only["document_sha256"]) == (FIGURES, "")


def test_figures_that_cannot_be_read_are_not_made_up(client, image, capsys):
    letter = SAMPLES / "single-filer" / "documents" / "letter.pdf"
    status, document, _ = record(capsys, client, image, "--signed", letter, "--bind", "figures")
    assert status == 2
    assert "no figures" in document["error"]["what"]
    assert not events(client)


def test_a_withdrawn_grant_stays_and_a_new_one_may_be_captured(client, image, capsys):
    _, document, _ = record(capsys, client, image)
    first = document["grant"]["id"]
    status, gone, _ = sign(capsys, "withdraw", client, first, "--why", "asked for it")
    assert status == 0
    assert gone["grant"]["withdrawn_why"] == "asked for it"
    assert (client / "signatures" / document["grant"]["image"]).is_file()
    again = record(capsys, client, image)[1]
    assert not again["was_there"]
    listed = sign(capsys, "list", client)[1]["grants"]
    states = [(grant["id"], grant["state"]) for grant in listed]
    assert states == [(first, "withdrawn"), (again["grant"]["id"], "valid")]
    assert events(client) == ["grant recorded", "grant withdrawn", "grant recorded"]


def test_a_second_withdrawal_is_told_and_changes_nothing(client, image, capsys):
    first = record(capsys, client, image)[1]["grant"]["id"]
    sign(capsys, "withdraw", client, first, "--why", "asked for it")
    text = (client / "signatures" / "grants.toml").read_text()
    status, document, _ = sign(capsys, "withdraw", client, first, "--why", "another reason")
    assert (status, document["was_there"]) == (0, True)
    assert document["grant"]["withdrawn_why"] == "asked for it"
    assert (client / "signatures" / "grants.toml").read_text() == text
    assert events(client) == ["grant recorded", "grant withdrawn"]


def test_a_grant_that_is_not_there_cannot_be_withdrawn(client, capsys):
    status, document, _ = sign(capsys, "withdraw", client, "2026-taxpayer-9", "--why", "x")
    assert status == 2
    assert "no grant of this id" in document["error"]["what"]


def test_a_preparers_grant_may_lie_in_the_offices_store(client, image, office, capsys):
    status, document, _ = record(
        capsys, client, image, "--store", "office", role="preparer", covers="form-1040*"
    )
    store = office.parent / "store"
    assert status == 0
    assert (store / document["grant"]["image"]).is_file()
    assert (events(store), events(client)) == (["grant recorded"], [])
    (listed,) = sign(capsys, "list", client)[1]["grants"]
    assert listed["in_store"]
    sign(capsys, "withdraw", client, listed["id"], "--why", "left the office")
    assert events(store) == ["grant recorded", "grant withdrawn"]
    assert sign(capsys, "list", client)[1]["grants"][0]["state"] == "withdrawn"


def test_a_clients_grant_does_not_go_into_the_offices_store(client, image, office, capsys):
    status, document, _ = record(capsys, client, image, "--store", "office")
    assert status == 2
    assert "client's own folder" in json.dumps(document["error"])
    assert not (office.parent / "store").exists()


def test_without_an_office_there_is_no_store(client, image, capsys):
    status, document, _ = record(capsys, client, image, "--store", "office", role="ero")
    assert status == 2
    assert "office.toml" in document["error"]["what"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--covers", "Form 8879"), "covers"),
        (("--until", "soon"), "no date"),
        (("--given-at", "2026-03-03T10:15:00"), "offset"),
        (("--ip-address", "nowhere"), "ip-address"),
        (("--by", "SSN 666-12-3456"), "recorded_by"),
        (("--identity-check", "license 12-3456789"), "identity_check"),
    ],
)
def test_a_value_that_cannot_be_so_is_named_and_nothing_is_written(
    client, image, capsys, words, said
):
    status, document, err = record(capsys, client, image, *words)
    assert status == 2
    assert said in json.dumps(document)
    assert "666-12-3456" not in json.dumps(document) + err
    assert (client / "signatures" / "grants.toml").read_text() == HAND
    assert list((client / "signatures").glob("*.png")) == []


def test_nothing_is_recorded_in_a_folder_that_is_no_clients(tmp_path, image, capsys):
    status, document, _ = record(capsys, tmp_path, image)
    assert status == 2
    assert "no client folder" in document["error"]["what"]
    assert not (tmp_path / "signatures").exists()


def test_a_link_is_not_written_through(client, image, tmp_path, capsys):
    elsewhere = tmp_path / "elsewhere.toml"
    elsewhere.write_text("")
    (client / "signatures" / "grants.toml").unlink()
    (client / "signatures" / "grants.toml").symlink_to(elsewhere)
    assert record(capsys, client, image)[0] == 3
    assert elsewhere.read_text() == ""


def test_a_replaced_image_is_a_fault(client, image, capsys):
    _, document, _ = record(capsys, client, image)
    other = SAMPLES / "joint-return" / "signatures" / "taxpayer.png"
    (client / "signatures" / document["grant"]["image"]).write_bytes(other.read_bytes())
    status, document, _ = sign(capsys, "list", client)
    assert status == 2
    assert "another picture" in json.dumps(document["error"])


def test_the_table_says_what_is_bound_to_nothing(client, image, capsys):
    record(capsys, client, image, "--photo-id-seen")
    run(["sign", "list", str(client)])
    said = " ".join(capsys.readouterr().out.split())
    assert "1 grant, 1 valid today" in said
    assert "bound to nothing and places nothing on Forms 8879 and 8878" in said


def test_records_made_at_the_same_time_are_all_kept(client, image):
    from concurrent.futures import ThreadPoolExecutor

    from packets.handover.grant_records import GrantRequest
    from packets.handover.grants_kept import listed, record
    from packets.recipe.model import Role

    def one(number: int) -> str:
        covers = (f"consent-{'abcdefgh'[number]}",)
        until = dt.date(2126, 12, 31)
        request = GrantRequest(client, Role.TAXPAYER, image, "on-screen", covers, until, "desk")
        return record(request).grant.id

    with ThreadPoolExecutor(4) as pool:
        made = list(pool.map(one, range(8)))
    assert sorted(made) == sorted({entry.grant.id for entry in listed(client)})
    assert len(set(made)) == len(events(client)) == 8

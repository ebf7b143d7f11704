"""Lender's, office and agency copies: who may have what, masked or not, and in which folder."""

import io
import json
import re
import stat
from pathlib import Path

import pikepdf
import pytest
from finished_packets import FinishedPacket, numbers_of_samples, seen_in
from office_folders import build, run_packets, sample_copy, small_client
from pypdf import PdfReader

MOST_FOR_AGENCY = 60_000_000


def text_of(pdf: bytes) -> list[str]:
    return [page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages]


def taken_categories(packet: FinishedPacket) -> set[str]:
    """The categories of the pages that went in, as `packets plan` names them."""
    recipe = packet.manifest["recipe"]["name"]
    parts = run_packets("plan", packet.client, "--recipe", recipe, "--json").document["parts"]
    return {document["category"] for part in parts for document in part["documents"]}


def released_folders(client: Path) -> set[str]:
    return {
        name for name in ("outbound", "office", "filing") if list((client / name).glob("*.pdf"))
    }


def test_a_lender_gets_form_1040_and_the_wage_statements_and_no_other_page(packet_of):
    packet = packet_of("joint-return", "lender-copy")
    assert packet.run.status == 0, packet.run.said
    assert taken_categories(packet) == {"form-1040", "w-2"}
    assert released_folders(packet.client) == {"outbound"}
    assert packet.manifest["check"]["verdict"] == "clean"
    assert [seen_in(text, numbers_of_samples()) for text in text_of(packet.opened)] == [
        [] for _ in range(packet.manifest["pages"])
    ]


def test_without_a_consent_in_the_folder_the_lenders_copy_is_held(sample):
    client = sample("single-filer")
    run = build(client, "lender-copy")
    assert run.status == 1
    assert "consent" in " ".join(run.document["held"])
    assert released_folders(client) == set()


def test_a_consent_that_one_spouse_has_not_signed_holds_the_lenders_copy(sample):
    client = sample("joint-return")
    for picture in ("w-2/scan-0007.pdf", "receipt/IMG_2041.jpg", "identity/scan-0003.png"):
        (client / "documents" / picture).unlink()  # they take long to read
    grants = client / "signatures" / "grants.toml"
    text = grants.read_text()
    spouse = text.index("2026-spouse-1")
    grants.write_text(text[:spouse] + text[spouse:].replace(', "consent-*"', "", 1))
    run = build(client, "lender-copy")
    assert run.status == 1
    assert any("not signed by the spouse" in reason for reason in run.document["held"])
    assert not any("not signed by the taxpayer" in reason for reason in run.document["held"])
    assert released_folders(client) == set()


def test_an_office_copy_carries_full_numbers_encrypted_and_stays_in_the_office(packet_of):
    packet = packet_of("single-filer", "office-copy")
    assert packet.run.status == 0, packet.run.said
    assert released_folders(packet.client) == {"office"}
    assert packet.manifest["encryption"] == {"algorithm": "AES-256", "revision": 6}
    assert packet.manifest["check"] == {"verdict": "not asked", "readers": [], "proof": None}
    assert packet.manifest["masks"] == []
    assert not any(source["left_out"] for source in packet.manifest["sources"])
    with pytest.raises(pikepdf.PasswordError):
        pikepdf.open(packet.path)
    assert "SINGLE_SSN" in seen_in("\n".join(text_of(packet.opened)), numbers_of_samples())
    assert seen_in(json.dumps(packet.manifest) + packet.run.out, numbers_of_samples()) == []


@pytest.mark.parametrize("recipe", ["office-copy", "efile-attachments"])
@pytest.mark.parametrize("folder", ["outbound", "../elsewhere", "office/../outbound"])
def test_full_numbers_keep_to_their_own_folder_whatever_is_asked(client, recipe, folder):
    run = build(client, recipe, "--out", client / folder)
    assert run.status == 2, run.said
    assert run.document["error"]["where"] == "--out"
    assert not (client / folder).exists()


@pytest.mark.parametrize("folder", [".", "keys", "keys/more", "documents", "signatures/more"])
def test_no_packet_lands_among_the_keys_or_the_papers_it_is_made_from(client, folder):
    before = sorted(client.rglob("*"))
    run = build(client, "client-copy", "--out", client / folder)
    assert run.status == 2, run.said
    assert sorted(client.rglob("*")) == before


def test_attachments_for_the_agency_are_open_whole_and_named_as_it_asks(packet_of):
    packet = packet_of("single-filer", "efile-attachments")
    assert packet.run.status == 0, packet.run.said
    assert released_folders(packet.client) == {"filing"}
    assert taken_categories(packet) == {"w-2"}
    assert packet.manifest["encryption"] == {"algorithm": "none", "revision": 0}
    assert packet.run.document["released"]["key_file"] is None
    assert not (packet.client / "keys").exists()
    assert len(packet.path.name) <= 64
    assert re.fullmatch(r"[A-Za-z0-9._-]+\.pdf", packet.path.name)
    assert packet.path.stat().st_size <= MOST_FOR_AGENCY
    data = packet.path.read_bytes()
    assert "SINGLE_SSN" in seen_in("\n".join(text_of(data)), numbers_of_samples())


def test_a_name_too_long_for_the_agency_is_refused_before_anything_is_written(tmp_path):
    client = small_client(tmp_path / "client")
    engagement = client / "engagement.toml"
    engagement.write_text(engagement.read_text().replace("2025-0201", "2025-0201-" + "long" * 7))
    recipe = tmp_path / "agency.toml"
    recipe.write_text(
        'recipe = 1\nname = "return-for-the-tax-agency"\ntitle = "{tax_year} return"\n'
        'audience = "agency"\n[[part]]\nheading = "Return"\ntake = ["form-1040"]\n'
        "[cover]\nsheet = false\ndividers = false\n"
    )
    run = build(client, recipe)
    assert run.status == 2, run.said
    assert "64" in run.document["error"]["what"]
    assert released_folders(client) == set()


def test_a_packet_is_written_for_its_owner_only(packet_of):
    for recipe in ("client-copy", "office-copy"):
        packet = packet_of("single-filer", recipe)
        assert stat.S_IMODE(packet.path.stat().st_mode) == 0o600
        assert stat.S_IMODE(packet.path.parent.stat().st_mode) == 0o700


def test_each_audience_of_one_client_lands_in_its_own_folder(tmp_path):
    client = small_client(tmp_path / "client")
    for recipe in ("client-copy", "office-copy", "client-copy"):
        assert build(client, recipe).status == 0
    names = {path.relative_to(client).as_posix() for path in client.glob("o*/*.pdf")}
    assert names == {
        "outbound/2025-0201-client-copy.pdf",
        "outbound/2025-0201-client-copy-2.pdf",
        "office/2025-0201-office-copy.pdf",
    }
    assert run_packets("ledger", "verify", client).status == 0


def test_copies_for_this_test_leave_the_samples_alone(tmp_path):
    copy = sample_copy("single-filer", tmp_path / "copy")
    assert not (copy / "outbound").exists()

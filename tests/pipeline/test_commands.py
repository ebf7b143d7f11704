"""Every command as a user types it: what it prints, what it writes, how it ends."""

import io
import json
import re
from pathlib import Path

import pikepdf
import pytest
from finished_packets import FinishedPacket, numbers_of_samples, seen_in
from office_folders import SMALL_SSN, build, put_pdf, run_packets
from pypdf import PdfReader

CLEAN, HELD, WRONG, REFUSED = 0, 1, 2, 3


def only_document(run):
    """Standard output, proven to be one JSON document that knows the exit status."""
    document = json.loads(run.out)
    assert document["exit_status"] == run.status
    return document


def test_the_inventory_names_every_page_and_how_it_is_known(sample):
    client = sample("joint-return")
    run = run_packets("inventory", client, "--json")
    document = only_document(run)
    assert run.status == CLEAN
    assert len(document["pages"]) == sum(entry["pages"] for entry in document["documents"])
    assert all(page["category"] for page in document["pages"]), "nothing in the sample is unknown"
    assert all(page["evidence"]["words"] for page in document["pages"])
    assert seen_in(run.out, numbers_of_samples()) == []
    assert not (client / "ledger.jsonl").exists()


def test_the_plan_accounts_for_every_page_and_builds_nothing(sample):
    client = sample("single-filer")
    before = sorted(client.rglob("*"))
    run = run_packets("plan", client, "--recipe", "client-copy", "--json")
    document = only_document(run)
    documents = [planned for part in document["parts"] for planned in part["documents"]]
    placed = [(page["file"], page["page"]) for planned in documents for page in planned["pages"]]
    left = [(out["file"], page) for out in document["left_out"] for page in out["pages"]]
    inventory = run_packets("inventory", client, "--json").document
    assert sorted(placed + left) == sorted((p["file"], p["page"]) for p in inventory["pages"])
    assert sorted(client.rglob("*")) == before


@pytest.mark.parametrize("command", ["build", "plan"])
def test_a_build_and_a_plan_agree_on_the_pages(client, command):
    planned = run_packets(command, client, "--recipe", "client-copy", "--json").document
    if command == "plan":
        assert planned["pages"] == 3
    else:
        assert sum(source["used"] for source in planned["sources"]) == 3


def test_a_masked_copy_is_open_and_shows_the_last_four_only(tmp_path):
    source = put_pdf(tmp_path / "in.pdf", ["Your social security number", SMALL_SSN, "Total 1,204"])
    target = tmp_path / "out.pdf"
    run = run_packets("mask", source, target, "--json")
    document = only_document(run)
    assert run.status == CLEAN, run.said
    assert [mask["kind"] for mask in document["masks"]] == ["ssn"]
    text = PdfReader(target).pages[0].extract_text()
    assert "XXX-XX-3456" in text
    assert "Total 1,204" in text
    assert SMALL_SSN not in text + run.out + run.err


def test_masking_twice_finds_nothing_the_second_time(tmp_path):
    source = put_pdf(tmp_path / "in.pdf", [f"SSN {SMALL_SSN}", "Account number 7700412839"])
    once, twice = tmp_path / "once.pdf", tmp_path / "twice.pdf"
    assert run_packets("mask", source, once).status == CLEAN
    again = run_packets("mask", once, twice, "--json")
    assert again.status == CLEAN
    assert again.document["masks"] == []


def test_masking_opens_a_locked_source_with_a_password_file(tmp_path):
    source, key = tmp_path / "in.pdf", tmp_path / "password.txt"
    put_pdf(source, [f"SSN {SMALL_SSN}"])
    with pikepdf.open(source, allow_overwriting_input=True) as pdf:
        pdf.save(source, encryption=pikepdf.Encryption("larch-meadow-copper", "owner", R=6))
    key.write_text("larch-meadow-copper\n")
    key.chmod(0o600)
    assert run_packets("mask", source, tmp_path / "a.pdf").status == REFUSED
    run = run_packets("mask", source, tmp_path / "b.pdf", "--password-file", key)
    assert run.status == CLEAN, run.said
    assert "larch" not in run.out + run.err


def test_masking_never_writes_over_a_file(tmp_path):
    source = put_pdf(tmp_path / "in.pdf", [f"SSN {SMALL_SSN}"])
    target = tmp_path / "out.pdf"
    target.write_bytes(b"an older copy")
    assert run_packets("mask", source, target).status == WRONG
    assert target.read_bytes() == b"an older copy"


def test_a_check_of_our_packet_is_clean_by_the_key_in_the_folder(packet_of):
    packet = packet_of("single-filer", "client-copy")
    run = run_packets("check", packet.client / "outbound", "--json")
    assert run.status == CLEAN, run.said
    verdicts = only_document(run)["verdicts"]
    assert {verdict["verdict"] for verdict in verdicts} == {"clean"}
    assert packet.path.name in {Path(verdict["file"]).name for verdict in verdicts}


def test_a_thorough_check_of_our_packet_is_clean_by_a_given_passphrase(client, tmp_path):
    packet = FinishedPacket(client, build(client))
    moved, key = tmp_path / packet.path.name, tmp_path / "passphrase.txt"
    moved.write_bytes(packet.path.read_bytes())
    key.write_text(packet.passphrase + "\n")
    key.chmod(0o600)
    assert run_packets("check", moved).status in {HELD, REFUSED}
    run = run_packets("check", moved, "--thorough", "--password-file", key, "--json")
    assert run.status == CLEAN, run.said
    pixels = [line for line in run.document["verdicts"][0]["readers"] if line["name"] == "pixels"]
    assert pixels[0]["pages"] == packet.manifest["pages"]
    assert packet.passphrase not in run.out + run.err


@pytest.mark.parametrize("written", [SMALL_SSN, "666 12 3456", "666123456"])
def test_a_check_sees_a_planted_number_and_does_not_repeat_it(tmp_path, written):
    put_pdf(tmp_path / "going out" / "page.pdf", [f"Your number is {written}", "and no more."])
    run = run_packets("check", tmp_path / "going out", "--json")
    assert run.status == HELD
    (verdict,) = only_document(run)["verdicts"]
    assert verdict["verdict"] == "held"
    assert 1 in {sighting["page"] for sighting in verdict["sightings"]}
    assert not re.search(r"666\W?12\W?3456", run.out + run.err)


def test_an_office_copy_does_not_pass_the_check(packet_of):
    packet = packet_of("single-filer", "office-copy")
    run = run_packets("check", packet.path, "--json")
    assert run.status == HELD
    assert seen_in(run.out + run.err, numbers_of_samples()) == []


def test_the_ledger_shows_and_proves_what_was_released(packet_of, tmp_path):
    packet = packet_of("joint-return", "client-copy")
    shown = run_packets("ledger", "show", packet.client, "--json")
    events = only_document(shown)["entries"]
    kinds = [entry["event"] for entry in events]
    assert kinds == ["documents taken in", "prepared", "released"]
    assert packet.path.name in run_packets("ledger", "show", packet.client).out
    assert only_document(run_packets("ledger", "verify", packet.client, "--json"))["sound"]


def test_a_ledger_that_was_edited_is_held(client):
    assert build(client).status == CLEAN
    ledger = client / "ledger.jsonl"
    ledger.write_text(ledger.read_text().replace('"clean"', '"held"'))
    run = run_packets("ledger", "verify", client, "--json")
    assert run.status == HELD
    assert not only_document(run)["sound"]


def test_a_new_folder_says_what_is_missing_until_it_is_filled_in(tmp_path):
    fresh = tmp_path / "fresh"
    run = run_packets("new", fresh, "--json")
    assert run.status == CLEAN
    assert only_document(run)
    assert (fresh / "engagement.toml").is_file()
    assert (fresh / "identifiers.toml").stat().st_mode & 0o777 == 0o600
    built = build(fresh)
    assert built.status in {HELD, WRONG}
    assert only_document(built)
    assert not list(fresh.glob("outbound/*.pdf"))
    text = (fresh / "engagement.toml").read_text() + "# ours\n"
    (fresh / "engagement.toml").write_text(text)
    assert run_packets("new", fresh).status == CLEAN
    assert (fresh / "engagement.toml").read_text() == text


@pytest.mark.parametrize(
    ("words", "status"),
    [
        (("build", "{client}", "--recipe", "client-copy"), CLEAN),
        (("build", "{client}", "--recipe", "lender-copy"), HELD),
        (("build", "{client}", "--recipe", "no-such-recipe"), WRONG),
        (("build", "{client}"), WRONG),
        (("build", "{client}/nowhere", "--recipe", "client-copy"), WRONG),
        (("check", "{client}/documents"), HELD),
        (("mask", "{client}/engagement.toml", "{client}/x.pdf"), REFUSED),
        (("frobnicate",), WRONG),
    ],
)
def test_with_json_there_is_one_document_however_it_ends(client, words, status):
    run = run_packets(*(word.format(client=client) for word in words), "--json")
    assert run.status == status, run.said
    document = only_document(run)
    assert document["outcome"]
    if status in {WRONG, REFUSED}:
        assert document["error"]["next"]


def test_without_json_the_summary_is_for_a_person_and_tells_no_secret(client):
    run = run_packets("build", client, "--recipe", "client-copy")
    assert run.status == CLEAN
    for words in ("Released", "What went in", "Masked", "Check from outside", "Next"):
        assert words in run.out
    (key,) = (client / "keys").iterdir()
    assert key.read_text().strip() not in run.out + run.err
    assert "\x1b" not in run.out + run.err, "no colours in a pipe"


def test_a_packet_opens_with_the_passphrase_of_a_file(client, tmp_path):
    key = tmp_path / "passphrase.txt"
    key.write_text("walnut harbor ribbon candle tundra mosaic\n")
    key.chmod(0o600)
    run = build(client, "client-copy", "--password-file", key)
    assert run.status == CLEAN, run.said
    data = io.BytesIO((client / "outbound" / "2025-0201-client-copy.pdf").read_bytes())
    with pikepdf.open(data, password="walnut harbor ribbon candle tundra mosaic") as pdf:
        assert len(pdf.pages) == run.document["pages"]

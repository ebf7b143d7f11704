"""A client's copy, built as an office would: what lies where, and what the manifest says."""

import getpass
import hashlib
import json
import re
import socket
import subprocess
from pathlib import Path

import pytest
from finished_packets import FinishedPacket
from PIL import Image, ImageSequence
from pypdf import PdfReader

KEYS = {
    *("manifest", "packet", "sha256", "content_sha256", "bytes", "pages", "recipe", "engagement"),
    *("built_at", "encryption", "sources", "parts", "masks", "signatures", "check", "retention"),
    *("tools", "checksum"),
}
SAMPLES = ("joint-return", "single-filer")


@pytest.fixture(params=SAMPLES)
def packet(request, packet_of) -> FinishedPacket:
    done = packet_of(request.param, "client-copy")
    assert done.run.status == 0, done.run.said
    return done


def canonical(value) -> str:
    """RFC 8785, written from its text: members by UTF-16, numbers as ECMAScript prints them."""
    if isinstance(value, dict):
        keys = sorted(value, key=lambda key: key.encode("utf-16-be"))
        return "{" + ",".join(f"{canonical(key)}:{canonical(value[key])}" for key in keys) + "}"
    if isinstance(value, list):
        return "[" + ",".join(map(canonical, value)) + "]"
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return json.dumps(value, ensure_ascii=False)


def pages_in(path: Path) -> int:
    if path.suffix == ".pdf":
        return len(PdfReader(path).pages)
    with Image.open(path) as picture:
        return len(list(ImageSequence.Iterator(picture)))


def test_packet_manifest_list_key_and_ledger_are_where_they_belong(packet):
    stem = packet.path.stem
    made = {path.name for path in packet.path.parent.iterdir() if not path.name.startswith(".")}
    assert packet.path.parent == packet.client / "outbound"
    assert made == {f"{stem}.pdf", f"{stem}.manifest.json", "SHA256SUMS"}
    key = packet.client / "keys" / f"{stem}.pdf.txt"
    assert key.stat().st_mode & 0o777 == 0o600
    assert key.parent.stat().st_mode & 0o777 == 0o700
    ledger = (packet.client / "ledger.jsonl").read_text()
    events = [json.loads(line) for line in ledger.splitlines()]
    kinds = [event["event"] for event in events]
    assert kinds == ["documents taken in", "prepared", "released"]
    assert {event["facts"]["sha256"] for event in events[1:]} == {packet.manifest["sha256"]}
    seen = {line["file"]: line["sha256"] for line in events[0]["facts"]["first_seen"]}
    assert seen == {line["file"]: line["sha256"] for line in packet.manifest["sources"]}


def test_the_checksum_list_is_what_sha256sum_takes(packet):
    run = subprocess.run(
        ["sha256sum", "-c", "--strict", "SHA256SUMS"],
        cwd=packet.path.parent,
        capture_output=True,
        check=False,
    )
    assert run.returncode == 0
    assert packet.path.name.encode() in run.stdout


def test_the_manifest_has_its_keys_and_is_right_about_the_file(packet):
    manifest, data = packet.manifest, packet.path.read_bytes()
    assert manifest.keys() == KEYS
    assert manifest["packet"] == packet.path.name
    assert manifest["sha256"] == hashlib.sha256(data).hexdigest()
    assert manifest["bytes"] == len(data)
    assert manifest["pages"] == len(PdfReader(packet.path, password=packet.passphrase).pages)
    assert manifest["encryption"] == {"algorithm": "AES-256", "revision": 6}
    assert manifest["check"]["verdict"] == "clean"
    assert len(manifest["check"]["readers"]) == 4
    assert not any(reader["findings"] for reader in manifest["check"]["readers"])


def test_the_manifests_checksum_is_the_one_that_rfc_8785_gives(packet):
    rest = {key: value for key, value in packet.manifest.items() if key != "checksum"}
    assert packet.manifest["checksum"] == hashlib.sha256(canonical(rest).encode()).hexdigest()


def test_every_source_page_is_in_the_packet_or_listed_once_with_a_reason(packet):
    sources = {source["file"]: source for source in packet.manifest["sources"]}
    files = [path for path in (packet.client / "documents").rglob("*") if path.is_file()]
    assert sources.keys() == {path.relative_to(packet.client).as_posix() for path in files}
    for path in files:
        source = sources[path.relative_to(packet.client).as_posix()]
        out = [page for line in source["left_out"] for page in line["pages"]]
        assert source["sha256"] == hashlib.sha256(path.read_bytes()).hexdigest()
        assert source["pages"] == pages_in(path)
        assert len(out) == len(set(out))
        assert set(out) <= set(range(1, source["pages"] + 1))
        assert source["used"] + len(out) == source["pages"]
        assert all(line["why"] for line in source["left_out"])
    used = sum(source["used"] for source in sources.values())
    added = 1 + len(packet.manifest["parts"])
    assert packet.manifest["pages"] == used + added, "besides: a cover and a sheet for each part"


def test_the_parts_cover_the_pages_after_the_cover_without_a_gap(packet):
    expected = 2
    for part in packet.manifest["parts"]:
        assert part["first_page"] == expected
        expected += part["pages"]
    assert expected == packet.manifest["pages"] + 1


def test_the_summary_in_json_agrees_with_the_manifest(packet):
    document, manifest = packet.run.document, packet.manifest
    assert document["sources"] == manifest["sources"]
    assert document["parts"] == manifest["parts"]
    assert document["retention"] == manifest["retention"]
    assert [mask["page"] for mask in document["masks"]] == [
        mask["page"] for mask in manifest["masks"]
    ]
    assert packet.passphrase not in packet.run.out + packet.run.err


def test_signatures_stand_only_where_a_grant_in_force_covers_the_paper(packet_of):
    packet = packet_of("joint-return", "client-copy")
    grants = {line["grant"] for line in packet.manifest["signatures"]}
    assert {"2026-taxpayer-1", "2026-spouse-1", "2026-ero-1"} <= grants
    assert "2025-taxpayer-1" not in grants, "it has run out"
    images = {
        hashlib.sha256(path.read_bytes()).hexdigest()
        for path in (packet.client / "signatures").iterdir()
    }
    assert {line["image_sha256"] for line in packet.manifest["signatures"]} <= images
    letter = next(
        part for part in packet.manifest["parts"] if part["heading"] == "Signed authorizations"
    )
    signed = {line["page"] for line in packet.manifest["signatures"] if line["role"] == "ero"}
    assert all(letter["first_page"] < page < letter["first_page"] + 4 for page in signed)


def test_a_second_build_has_the_same_content_and_another_encryption(packet_of):
    first = packet_of("single-filer", "client-copy")
    second = packet_of("single-filer", "client-copy", 2)
    assert first.manifest["content_sha256"] == second.manifest["content_sha256"]
    assert first.manifest["masks"] == second.manifest["masks"]
    assert first.path.read_bytes() != second.path.read_bytes()
    assert first.passphrase != second.passphrase


def test_nothing_names_the_machine_the_user_or_their_folders(packet):
    told = packet.opened + json.dumps(packet.manifest).encode()
    assert str(packet.client).encode() not in told
    assert re.search(rb"/(?:tmp|home|Users)/", told) is None
    reader = PdfReader(packet.path, password=packet.passphrase)
    described = " ".join(str(value) for value in (reader.metadata or {}).values())
    described += str(reader.xmp_metadata.stream.get_data()) if reader.xmp_metadata else ""
    for name in (socket.gethostname(), getpass.getuser()):
        assert not re.search(rf"\b{re.escape(name)}\b", described)
    assert "2025" in described

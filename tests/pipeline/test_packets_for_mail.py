"""A build for mail: pictures brought down, else numbered packets, else a refusal by name."""

import hashlib
import json
from collections.abc import Callable
from pathlib import Path

import pikepdf
import pytest
from office_folders import small_client
from PIL import Image, ImageDraw

from packets import pipeline
from packets.base.errors import OverLimit
from packets.mailing.records import MailOrder
from packets.mailing.send import prepare_mail
from packets.pipeline_records import BuildReport, BuildRequest
from packets.sealing.ledger import entries, verify
from packets.sealing.release_proof import released_packet

Building = Callable[[int | None], BuildReport]


def scan(path: Path, seed: int) -> None:
    """A page that is large without loss and small as JPEG: paper with a little grain."""
    width, height = 1530, 1980
    grain = hashlib.shake_256(bytes([seed])).digest(width * height)
    page = Image.frombytes("L", (width, height), bytes(250 + byte % 6 for byte in grain))
    ImageDraw.Draw(page).text((200, 300), "Receipt for a donation, thank you", 0, font_size=40)
    path.parent.mkdir(parents=True, exist_ok=True)
    page.save(path, dpi=(180, 180))


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("office")
    (root / "office.toml").write_text('[office]\nname = "S"\nsender = "o@firm.example"\n')
    folder = small_client(root / "client")
    scan(folder / "documents" / "w-2" / "one.png", 1)
    scan(folder / "documents" / "letter" / "two.png", 2)
    return folder


def built(client: Path, most: int | None) -> BuildReport:
    report = pipeline.build(BuildRequest(client, "client-copy", most_message_bytes=most))
    assert report.held == ()
    return report


def pictures(report: BuildReport) -> list[pikepdf.Object]:
    assert report.released is not None
    assert report.released.key_file is not None
    password = report.released.key_file.read_text().strip()
    with pikepdf.open(report.released.packet, password=password) as pdf:
        return [
            (int(item.Width), str(item.get("/Filter")))
            for item in pdf.objects
            if isinstance(item, pikepdf.Stream) and item.get("/Subtype") == pikepdf.Name.Image
        ]


def test_without_a_limit_and_where_it_fits_pictures_stay_as_they_are(client: Path) -> None:
    report = built(client, 20_000_000)
    assert report.fitted == ()
    assert {width for width, _ in pictures(report)} == {1530}


def test_pictures_are_brought_down_to_the_stated_quality_before_anything_else(
    client: Path,
) -> None:
    report = built(client, 900_000)
    assert len(report.packets) == 1
    assert "150 dots an inch and JPEG quality 80" in report.fitted[0]
    assert pictures(report) == [(1275, "/DCTDecode")] * 2
    message = prepare_mail(MailOrder(report.packets[0].packet, to="office@example.com")).message
    assert len(message.data) <= 900_000


def test_where_that_is_not_enough_the_packet_is_split_at_part_borders(client: Path) -> None:
    most = 285_000
    report = built(client, most)
    assert len(report.packets) > 1
    of = len(report.packets)
    manifests = [json.loads(one.manifest.read_bytes()) for one in report.packets]
    headings = [part["heading"] for m in manifests for part in m["parts"]]
    assert headings == ["Letter and invoice", "Federal return", "Your documents"]
    assert [heading for heading, _, _ in report.facts.parts] == headings
    for number, (one, manifest) in enumerate(zip(report.packets, manifests, strict=True), start=1):
        assert one.packet.name == f"2025-0201-client-copy-{number}of{of}.pdf"
        assert released_packet(one.packet).sha256 == one.sha256
        assert manifest["check"]["verdict"] == "clean"
        assert manifest["set"]["number"] == number
        assert [p["sha256"] for p in manifest["set"]["packets"]] == [
            packet.sha256 for packet in report.packets
        ]
        for source in manifest["sources"]:
            elsewhere = sum(len(left["pages"]) for left in source["left_out"])
            assert source["used"] + elsewhere == source["pages"]
        prepared = prepare_mail(MailOrder(one.packet, to="office@example.com"))
        assert prepared.part == (number, of)
        assert f"({number} of {of})" in prepared.message.subject
        assert prepared.message.attachment == f"client-copy-part-{number}-of-{of}.pdf"
        assert len(prepared.message.data) <= most
    assert verify(client).sound


def test_a_part_that_fits_no_message_is_refused_with_its_largest_pages(client: Path) -> None:
    before = entries(client)
    with pytest.raises(OverLimit) as caught:
        built(client, 200_000)
    assert "'Letter and invoice' alone is too large" in caught.value.what
    assert "documents/letter/two.png page 1" in caught.value.what
    assert entries(client) == before

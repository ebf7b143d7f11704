"""A build proves its check on its own packet, records it, and is held where a plant is missed."""

import json
from functools import partial
from pathlib import Path

import pytest
from office_folders import run_packets
from proof_samples import READERS, Watched

from packets.base import alongside
from packets.base.canonical import checksum_of
from packets.base.errors import Held
from packets.cli.json_forms import build_form
from packets.pipeline import build
from packets.pipeline_records import BuildRequest
from packets.proving.examine import examine
from packets.proving.places import PLACES
from packets.proving.small_proof import PLANTS
from packets.sealing.release_proof import released_packet

NAMES = [plant.name for plant in PLANTS]


def test_the_manifest_says_what_was_planted_and_found(packet_of) -> None:
    packet = packet_of("single-filer", "client-copy")
    proof = packet.manifest["check"]["proof"]
    assert (proof["places"], proof["found"]) == (len(PLANTS), len(PLANTS))
    assert [row["place"] for row in proof["planted"]] == NAMES
    assert all(row["found"] is True for row in proof["planted"])
    shown = packet.run.document["check"]["proof"]
    assert [row["place"] for row in shown["planted"]] == NAMES
    assert {reader for row in shown["planted"] for reader in row["seen_by"]} == set(READERS)


@pytest.mark.parametrize("reader", READERS)
def test_a_build_whose_check_is_blind_in_one_eye_is_held(reader: str, client: Path) -> None:
    report = build(
        BuildRequest(client, "client-copy"), examine=partial(examine, check=Watched([reader]))
    )
    assert report.released is None
    assert report.verdict is not None
    assert report.verdict.judgement.value == "clean", "the packet itself was found clean"
    missed = [plant.name for plant in PLANTS if plant.reader == reader]
    assert len(report.held) == len(missed)
    for name, sentence in zip(missed, report.held, strict=True):
        assert "did not find the number that was planted" in sentence
        assert name in sentence
    assert not list(client.glob("outbound/*.pdf"))
    form = build_form(report)["check"]
    assert isinstance(form, dict)
    assert form["proof"]["found"] == len(PLANTS) - len(missed)  # type: ignore[index,call-overload]


def test_the_plants_lie_in_a_copy_that_is_not_the_packet(client: Path, monkeypatch) -> None:
    # What the check was given is only remembered in the process that asks for it.
    monkeypatch.setattr(alongside, "may_copy", lambda: False)
    watched = Watched()
    report = build(BuildRequest(client, "client-copy"), examine=partial(examine, check=watched))
    assert report.released is not None
    packet, copy = watched.copies
    assert report.released.packet.read_bytes() == packet
    assert copy != packet


@pytest.mark.parametrize(
    "proof",
    [
        None,
        {"places": 0, "found": 0, "planted": []},
        {"places": 6, "found": 5, "planted": []},
    ],
)
def test_a_packet_without_a_whole_proof_may_not_be_sent_on(proof, client: Path) -> None:
    report = build(BuildRequest(client, "client-copy"))
    assert report.released is not None
    assert released_packet(report.released.packet).sha256 == report.released.sha256
    manifest = json.loads(report.released.manifest.read_bytes())
    manifest["check"]["proof"] = proof
    del manifest["checksum"]
    manifest["checksum"] = checksum_of(manifest)
    as_written = json.dumps(manifest, ensure_ascii=False, indent=2) + "\n"
    report.released.manifest.write_text(as_written)
    with pytest.raises(Held, match="never proved"):
        released_packet(report.released.packet)


def test_the_command_proves_a_packet_in_its_folder_place_by_place(client: Path) -> None:
    """The key is found in `keys/`; the manifest and the list beside are checked as well."""
    assert build(BuildRequest(client, "client-copy")).released is not None
    run = run_packets("check", "--prove", client / "outbound", "--json")
    assert run.status == 0, run.said
    proofs = run.document["proofs"]
    files = [each["check"]["file"] for each in proofs]
    assert len(files) == 3
    (packet,) = (each for each in proofs if each["check"]["file"].endswith(".pdf"))
    assert (packet["proof"]["places"], packet["proof"]["found"]) == (len(PLACES), len(PLACES))
    assert {each["proof"] for each in proofs if each is not packet} == {None}

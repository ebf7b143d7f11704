"""Only a released, unchanged, clean and encrypted packet may be sent on."""

import dataclasses
from pathlib import Path

import pytest
from sealing_samples import agency_packet, packet_facts, sealed_packet

from packets.base.errors import Damaged, Held, InputRefused
from packets.sealing.manifest import manifest_bytes, manifest_path
from packets.sealing.records import Released
from packets.sealing.release import release
from packets.sealing.release_proof import released_packet

SEALED = sealed_packet()


@pytest.fixture
def done(tmp_path: Path) -> Released:
    return release(tmp_path, tmp_path / "outbound", packet_facts(), SEALED, keep_passphrase=True)


def test_a_released_packet_is_found_again_with_all_that_belongs_to_it(done: Released) -> None:
    assert done.key_file is not None
    found = released_packet(done.packet)
    assert found == dataclasses.replace(done, key_file=done.key_file.resolve())


def test_a_changed_packet_is_held(done: Released) -> None:
    done.packet.write_bytes(done.packet.read_bytes() + b"\n")
    with pytest.raises(Held):
        released_packet(done.packet)


def test_a_packet_under_another_name_is_held(done: Released) -> None:
    other = done.packet.with_name("other.pdf")
    other.write_bytes(done.packet.read_bytes())
    manifest_path(other).write_bytes(done.manifest.read_bytes())
    with pytest.raises(Held):
        released_packet(other)


def test_a_packet_without_its_manifest_is_refused(done: Released) -> None:
    done.manifest.unlink()
    with pytest.raises(InputRefused):
        released_packet(done.packet)


def test_a_packet_whose_manifest_was_altered_is_refused(done: Released) -> None:
    done.manifest.write_bytes(done.manifest.read_bytes().replace(b'"pages": 1', b'"pages": 2'))
    with pytest.raises(Damaged):
        released_packet(done.packet)


def test_a_packet_that_is_not_there_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputRefused):
        released_packet(tmp_path / "absent.pdf")


@pytest.mark.parametrize("verdict", ["not asked", "held", "Clean"])
def test_a_packet_that_was_not_found_clean_is_held(done: Released, verdict: str) -> None:
    facts = packet_facts(packet=done.packet.name, verdict=verdict)
    done.manifest.write_bytes(manifest_bytes(facts, SEALED))
    with pytest.raises(Held, match="clean"):
        released_packet(done.packet)


def test_a_packet_that_is_not_encrypted_is_held(done: Released) -> None:
    done.packet.write_bytes(agency_packet().pdf)
    facts = packet_facts(packet=done.packet.name)
    done.manifest.write_bytes(manifest_bytes(facts, agency_packet()))
    with pytest.raises(Held, match="encrypted"):
        released_packet(done.packet)

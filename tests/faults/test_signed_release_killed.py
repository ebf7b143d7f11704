"""A signed release killed before any change to the disk: whole and signed, or not there."""

import os
import shutil
from pathlib import Path

import pytest
from killed_runs import MOST_CALLS, die, nth_disk_call, was_killed
from test_release_survives_crashes import FACTS, NOW, SEALED

from packets.base.files import PARTIAL_PREFIX, file_sha256
from packets.sealing.ledger import verify
from packets.sealing.manifest import manifest_path
from packets.sealing.office_key import PublicKey, Signer, load_public, new_key, open_signer
from packets.sealing.packet_names import signature_path
from packets.sealing.recovery import Recovered, recover
from packets.sealing.release import release
from packets.sealing.signing import LEDGER, LEDGER_SIGNATURE, PACKET, signed_of


@pytest.fixture(scope="module")
def keys(tmp_path_factory: pytest.TempPathFactory) -> tuple[Signer, PublicKey]:
    made = new_key(tmp_path_factory.mktemp("office"), None)
    return open_signer(made.private), load_public(made.public)


def release_signed(client: Path, signer: Signer, number: int = -1) -> None:
    with nth_disk_call(number, die):
        release(client, client / "outbound", FACTS, SEALED, keep_passphrase=True, signer=signer)


def assert_signed(client: Path, key: PublicKey) -> int:
    packets = list((client / "outbound").glob("*.pdf"))
    for packet in packets:
        signed = signed_of(signature_path(packet).read_bytes(), PACKET)
        assert signed.holds(key)
        assert signed.statement["packet"] == packet.name
        assert signed.statement["sha256"] == file_sha256(packet)
        assert signed.statement["manifest_sha256"] == file_sha256(manifest_path(packet))
    return len(packets)


def test_a_packet_under_its_name_always_has_its_signature(
    tmp_path: Path, keys: tuple[Signer, PublicKey]
) -> None:
    signer, key = keys
    first = tmp_path / "client"
    first.mkdir()
    release_signed(first, signer)
    counts = set()
    for number in range(MOST_CALLS):
        client = tmp_path / f"copy-{number}"
        shutil.copytree(first, client)
        killed = was_killed(release_signed, client, signer, number)
        assert_signed(client, key)
        recover(client, client / "outbound", now=NOW)
        counts.add(assert_signed(client, key))
        assert recover(client, client / "outbound", now=NOW) == Recovered()
        assert verify(client).sound
        assert signed_of((client / LEDGER_SIGNATURE).read_bytes(), LEDGER).holds(key)
        left = {path.name for path in (client / "outbound").iterdir()}
        assert not [name for name in left if name.startswith(PARTIAL_PREFIX)]
        assert len(left) == 1 + 3 * len([name for name in left if name.endswith(".pdf")])
        if not killed:
            break
    assert not killed
    assert counts == {1, 2}


def test_a_signed_ledger_head_is_the_one_after_the_release(
    tmp_path: Path, keys: tuple[Signer, PublicKey]
) -> None:
    release_signed(tmp_path, keys[0])
    signed = signed_of((tmp_path / LEDGER_SIGNATURE).read_bytes(), LEDGER)
    assert signed.statement["lines"] == verify(tmp_path).lines == 2
    assert signed.statement["last"] == verify(tmp_path).head


def test_a_head_that_cannot_be_signed_is_told_and_the_packet_is_out(
    tmp_path: Path, keys: tuple[Signer, PublicKey], monkeypatch: pytest.MonkeyPatch
) -> None:
    replace = os.replace

    def full(source, target, **more):
        if str(target).endswith(LEDGER_SIGNATURE):
            raise OSError(28, "full")
        replace(source, target, **more)

    monkeypatch.setattr(os, "replace", full)
    done = release(
        tmp_path, tmp_path / "outbound", FACTS, SEALED, keep_passphrase=True, signer=keys[0]
    )
    assert done.packet.is_file()
    assert "could not be signed" in done.notes[0]
    assert verify(tmp_path).sound

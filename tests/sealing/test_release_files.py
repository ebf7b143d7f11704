"""A release is one complete set of files, recorded; nothing that exists is ever written over."""

import dataclasses
import json
import os
from pathlib import Path

import pytest
from sealing_samples import (
    PASSPHRASE,
    agency_packet,
    packet_facts,
    sealed_packet,
)

from packets.base.errors import OurFault, UsageError
from packets.base.files import PARTIAL_PREFIX
from packets.base.secret import Secret
from packets.sealing import keys
from packets.sealing.checksum_list import FILE_NAME as LIST_NAME
from packets.sealing.ledger import FILE_NAME as LEDGER_NAME
from packets.sealing.ledger import entries, verify
from packets.sealing.manifest import read_manifest
from packets.sealing.records import Released
from packets.sealing.release import release

SEALED = sealed_packet()
STEPS = [
    "staged",
    "prepared",
    "key kept",
    "manifest named",
    "list named",
    "packet named",
    "released",
]


def released(client: Path, **changes: object) -> Released:
    return release(
        client, client / "outbound", packet_facts(**changes), SEALED, keep_passphrase=True
    )


def files(folder: Path) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


def test_a_release_is_a_complete_set(tmp_path: Path) -> None:
    done = released(tmp_path)
    assert files(tmp_path) == {
        "ledger.head",
        "ledger.jsonl",
        "keys/2025-0147-client-copy.pdf.txt",
        "outbound/2025-0147-client-copy.pdf",
        "outbound/2025-0147-client-copy.manifest.json",
        "outbound/SHA256SUMS",
    }
    assert done.packet.read_bytes() == SEALED.pdf
    manifest = read_manifest(done.manifest)
    assert manifest["sha256"] == done.sha256 == SEALED.sha256
    assert (done.packet.parent / LIST_NAME).read_text() == f"{done.sha256}  {done.packet.name}\n"
    assert done.key_file is not None
    assert done.key_file.read_text() == PASSPHRASE + "\n"
    assert keys.kept_for(done.packet) == Secret(PASSPHRASE)


def test_the_ledger_tells_of_preparation_and_release(tmp_path: Path) -> None:
    done = released(tmp_path)
    prepared, final = entries(tmp_path)
    assert (prepared.event, final.event) == ("prepared", "released")
    assert prepared.facts["sha256"] == final.facts["sha256"] == done.sha256
    assert prepared.facts["folder"] == "outbound"
    assert prepared.facts["packet"] == done.packet.name
    assert json.dumps(prepared.facts).count(PASSPHRASE) == 0
    assert verify(tmp_path).sound


def test_everything_is_for_the_owner_alone(tmp_path: Path) -> None:
    old = os.umask(0)
    try:
        released(tmp_path)
    finally:
        os.umask(old)
    for name in files(tmp_path):
        assert (tmp_path / name).stat().st_mode & 0o777 == 0o600, name
    for folder in ("keys", "outbound"):
        assert (tmp_path / folder).stat().st_mode & 0o777 == 0o700


def test_a_keys_folder_open_to_others_is_closed(tmp_path: Path) -> None:
    (tmp_path / "keys").mkdir(mode=0o755)
    (tmp_path / "keys").chmod(0o755)
    released(tmp_path)
    assert (tmp_path / "keys").stat().st_mode & 0o777 == 0o700


def test_a_rebuild_is_a_new_version_and_the_old_one_stays(tmp_path: Path) -> None:
    first = released(tmp_path)
    before = {name: (tmp_path / name).read_bytes() for name in files(tmp_path)}
    second, third = released(tmp_path), released(tmp_path)
    assert second.packet.name == "2025-0147-client-copy-2.pdf"
    assert third.packet.name == "2025-0147-client-copy-3.pdf"
    assert first.packet.exists()
    for name, data in before.items():
        if name not in (f"outbound/{LIST_NAME}", LEDGER_NAME, "ledger.head"):
            assert (tmp_path / name).read_bytes() == data
    assert len((tmp_path / "outbound" / LIST_NAME).read_text().splitlines()) == 3
    assert read_manifest(second.manifest)["packet"] == second.packet.name


@pytest.mark.parametrize(
    "name",
    [
        "outbound/2025-0147-client-copy.pdf",
        "outbound/2025-0147-client-copy.manifest.json",
        "keys/2025-0147-client-copy.pdf.txt",
    ],
)
def test_whatever_has_the_name_keeps_it(tmp_path: Path, name: str) -> None:
    (tmp_path / name).parent.mkdir()
    (tmp_path / name).symlink_to(tmp_path / "nowhere")
    assert released(tmp_path).packet.name == "2025-0147-client-copy-2.pdf"
    assert (tmp_path / name).is_symlink()


def test_the_name_of_a_packet_that_was_carried_off_is_not_given_again(tmp_path: Path) -> None:
    first = released(tmp_path)
    for path in (first.packet, first.manifest, first.packet.parent / LIST_NAME, first.key_file):
        assert path is not None
        path.unlink()
    assert released(tmp_path).packet.name == "2025-0147-client-copy-2.pdf"


def test_a_file_that_takes_the_name_at_the_last_moment_is_not_lost(tmp_path: Path) -> None:
    rival = tmp_path / "outbound" / "2025-0147-client-copy.pdf"

    def rush_in(step: str) -> None:
        if step == "list named":
            rival.write_bytes(b"rival")

    with pytest.raises(UsageError):
        release(
            tmp_path,
            tmp_path / "outbound",
            packet_facts(),
            SEALED,
            keep_passphrase=True,
            at=rush_in,
        )
    assert rival.read_bytes() == b"rival"
    assert files(tmp_path / "outbound") - {LIST_NAME} == {rival.name}


def test_each_step_is_heard_of_in_order(tmp_path: Path) -> None:
    heard: list[str] = []
    release(
        tmp_path,
        tmp_path / "outbound",
        packet_facts(),
        SEALED,
        keep_passphrase=True,
        at=heard.append,
    )
    assert heard == STEPS


def test_a_passphrase_the_user_gave_is_not_kept(tmp_path: Path) -> None:
    done = release(tmp_path, tmp_path / "outbound", packet_facts(), SEALED, keep_passphrase=False)
    assert done.key_file is None
    assert not (tmp_path / "keys").exists()


@pytest.mark.parametrize("out", ["keys", "keys/inner", "outbound/../keys", "."])
def test_a_packet_never_lands_beside_its_key(tmp_path: Path, out: str) -> None:
    with pytest.raises(UsageError):
        release(tmp_path, tmp_path / out, packet_facts(), SEALED, keep_passphrase=True)
    assert files(tmp_path) == set()


@pytest.mark.parametrize(
    ("verdict", "folder"),
    [("held", "outbound"), ("held", "office"), ("not asked", "outbound"), ("", "filing")],
)
def test_without_the_verdict_there_is_no_file(tmp_path: Path, verdict: str, folder: str) -> None:
    with pytest.raises(OurFault):
        release(
            tmp_path,
            tmp_path / folder,
            packet_facts(verdict=verdict),
            SEALED,
            keep_passphrase=True,
        )
    assert files(tmp_path) == set()


def test_an_office_copy_stays_in_the_office(tmp_path: Path) -> None:
    done = release(
        tmp_path,
        tmp_path / "office",
        packet_facts(verdict="not asked", recipe_name="office-copy"),
        SEALED,
        keep_passphrase=True,
    )
    assert done.packet == tmp_path / "office" / "2025-0147-office-copy.pdf"


@pytest.mark.parametrize("folder", ["outbound", "office", "elsewhere"])
def test_a_packet_without_encryption_goes_to_filing_only(tmp_path: Path, folder: str) -> None:
    with pytest.raises(OurFault):
        release(tmp_path, tmp_path / folder, packet_facts(), agency_packet(), keep_passphrase=False)
    done = release(
        tmp_path,
        tmp_path / "filing",
        packet_facts(verdict="not asked"),
        agency_packet(),
        keep_passphrase=False,
    )
    assert done.packet.read_bytes() == agency_packet().pdf
    assert done.key_file is None


def test_a_name_too_long_for_the_agency_is_refused_before_anything_is_written(
    tmp_path: Path,
) -> None:
    facts = packet_facts(verdict="not asked", engagement_id="e" * 40, recipe_name="r" * 30)
    with pytest.raises(UsageError, match="64"):
        release(tmp_path, tmp_path / "filing", facts, agency_packet(), keep_passphrase=False)
    assert files(tmp_path) == set()


@pytest.mark.parametrize(
    ("engagement", "recipe"),
    [
        ("000-12-3456", "client-copy"),
        ("000123456", "client-copy"),
        ("x000.12.3456", "client-copy"),
        ("00-0003456", "client-copy"),
        ("000-12", "3456-copy"),
    ],
)
def test_a_taxpayer_number_never_names_a_file(tmp_path: Path, engagement: str, recipe: str) -> None:
    facts = packet_facts(engagement_id=engagement, recipe_name=recipe)
    with pytest.raises(UsageError) as refused:
        release(tmp_path, tmp_path / "outbound", facts, SEALED, keep_passphrase=True)
    assert "3456" not in str(refused.value)
    assert files(tmp_path) == set()


@pytest.mark.parametrize("engagement", ["../up", "a/b", "ümlaut", "", "a\nb"])
def test_a_name_with_other_characters_is_our_fault(tmp_path: Path, engagement: str) -> None:
    with pytest.raises(OurFault):
        released(tmp_path, engagement_id=engagement)
    assert files(tmp_path) == set()


def test_bytes_that_are_not_the_sealed_ones_are_not_released(tmp_path: Path) -> None:
    other = dataclasses.replace(SEALED, pdf=SEALED.pdf + b"%")
    with pytest.raises(OurFault):
        release(tmp_path, tmp_path / "outbound", packet_facts(), other, keep_passphrase=True)
    assert files(tmp_path) == set()


def test_two_clients_may_share_a_folder(tmp_path: Path) -> None:
    shared = tmp_path / "shared"
    for name in ("one", "two"):
        client = tmp_path / name
        client.mkdir()
        release(client, shared, packet_facts(), SEALED, keep_passphrase=True)
    assert len((shared / LIST_NAME).read_text().splitlines()) == 2
    assert not [name for name in files(tmp_path) if PARTIAL_PREFIX in name]

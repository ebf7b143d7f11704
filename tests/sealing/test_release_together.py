"""Several runs at once, and the programs that users check a folder with."""

import multiprocessing
import shutil
import subprocess
from pathlib import Path

import pytest
from sealing_samples import packet_facts, sealed_packet

from packets.base.errors import UsageError
from packets.sealing.checksum_list import FILE_NAME as LIST_NAME
from packets.sealing.ledger import entries, verify
from packets.sealing.manifest import manifest_path, read_manifest
from packets.sealing.release import release

FORK = multiprocessing.get_context("fork")
SEALED = sealed_packet()


def release_three(client: Path, out: Path) -> None:
    for _ in range(3):
        release(client, out, packet_facts(), SEALED, keep_passphrase=True)


def run_together(*works: tuple[Path, Path]) -> None:
    runs = [FORK.Process(target=release_three, args=work) for work in works]
    for run in runs:
        run.start()
    for run in runs:
        run.join()
    assert [run.exitcode for run in runs] == [0] * len(runs)


def assert_all_listed(out: Path, count: int) -> None:
    packets = sorted(out.glob("*.pdf"))
    assert len(packets) == count
    assert len((out / LIST_NAME).read_text().splitlines()) == count
    for packet in packets:
        assert read_manifest(manifest_path(packet))["packet"] == packet.name


def test_runs_over_one_client_take_turns_and_lose_nothing(tmp_path: Path) -> None:
    out = tmp_path / "outbound"
    run_together(*[(tmp_path, out)] * 3)
    assert_all_listed(out, 9)
    assert verify(tmp_path).lines == 18
    assert len({entry.facts["packet"] for entry in entries(tmp_path)}) == 9
    assert len(list((tmp_path / "keys").iterdir())) == 9


def test_runs_over_many_clients_share_a_folder_and_lose_nothing(tmp_path: Path) -> None:
    clients = [tmp_path / name for name in ("one", "two", "three")]
    for client in clients:
        client.mkdir()
    run_together(*[(client, tmp_path / "shared") for client in clients])
    assert_all_listed(tmp_path / "shared", 9)
    assert all(verify(client).lines == 6 for client in clients)


@pytest.mark.skipif(not shutil.which("sha256sum"), reason="GNU coreutils are not here")
def test_the_folder_is_confirmed_by_the_reference_program(tmp_path: Path) -> None:
    out = tmp_path / "outbound"
    release_three(tmp_path, out)
    command = ["sha256sum", "--check", "--strict", LIST_NAME]
    confirmed = subprocess.run(command, cwd=out, capture_output=True, check=False)
    assert confirmed.returncode == 0
    assert confirmed.stdout.count(b": OK") == 3


def test_a_client_folder_that_cannot_be_written_is_the_one_named(tmp_path: Path) -> None:
    client = tmp_path / "client"
    client.write_bytes(b"a file, not a folder")
    with pytest.raises(UsageError, match="client"):
        release(client, tmp_path / "out", packet_facts(), SEALED, keep_passphrase=True)

"""A link in the place of a folder leads no packet among keys, papers or what waits."""

from pathlib import Path

import pytest
from office_folders import small_client
from waiting_packets import WHO, client_folder, events, sealed, wait

from packets.base.errors import UsageError
from packets.pipeline import build
from packets.pipeline_records import BuildRequest
from packets.sealing.records import Released
from packets.sealing.reviewed_release import release_waiting

NAME = "2025-0201-client-copy.pdf"


def released(client: Path) -> Released:
    packet = sealed()
    name = wait(client, packet).packet.name
    return release_waiting(client, name, packet.sha256, WHO, demand=lambda _: None)


def everything(client: Path) -> dict[str, bytes]:
    found = (path for path in client.rglob("*") if path.is_file())
    return {path.relative_to(client).as_posix(): path.read_bytes() for path in found}


@pytest.mark.parametrize("place", ["keys", "to-review", "documents", "."])
def test_outbound_that_leads_into_the_client_folder_stops_the_release(
    tmp_path: Path, place: str
) -> None:
    client = client_folder(tmp_path)
    packet = sealed()
    name = wait(client, packet).packet.name
    (client / "outbound").symlink_to(client / place)
    before = everything(client)
    with pytest.raises(UsageError):
        release_waiting(client, name, packet.sha256, WHO, demand=lambda _: None)
    assert everything(client) == before
    assert "reviewed" not in events(client, name)


def test_keys_that_lead_to_outbound_stop_the_release(tmp_path: Path) -> None:
    client = client_folder(tmp_path)
    (client / "outbound").mkdir()
    (client / "keys").symlink_to(client / "outbound")
    with pytest.raises(UsageError, match="passphrase"):
        released(client)


def test_outbound_may_be_a_link_to_a_folder_elsewhere(tmp_path: Path) -> None:
    client = client_folder(tmp_path)
    (tmp_path / "shared").mkdir()
    (client / "outbound").symlink_to(tmp_path / "shared")
    assert released(client).packet.resolve().parent == tmp_path / "shared"


def test_a_packet_that_nobody_is_to_look_at_lies_not_among_those_that_wait(
    tmp_path: Path,
) -> None:
    client = small_client(tmp_path / "client")
    with pytest.raises(UsageError, match="waits for a person"):
        build(BuildRequest(client, "client-copy", out=client / "to-review"))

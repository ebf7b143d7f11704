"""Where a message may be saved, and where not."""

from pathlib import Path

import pytest
from mail_samples import ADDRESS, client_folder, released

from packets.base.errors import UsageError
from packets.mailing.records import MailOrder
from packets.mailing.send import prepare_mail, save_mail
from packets.sealing.records import Released


@pytest.fixture
def client(tmp_path: Path) -> Path:
    return client_folder(tmp_path)


@pytest.fixture
def packet(client: Path) -> Released:
    return released(client)


@pytest.mark.parametrize("place", ["client/keys", "client", "client/keys/mails"])
def test_a_message_is_not_saved_beside_the_passphrase(
    client: Path, packet: Released, place: str
) -> None:
    prepared = prepare_mail(MailOrder(packet.packet, to=ADDRESS))
    (client.parent / place).mkdir(exist_ok=True)
    before = (client / "ledger.jsonl").read_bytes()
    with pytest.raises(UsageError):
        save_mail(prepared, client.parent / place / "message.eml")
    assert (client / "ledger.jsonl").read_bytes() == before


def test_a_message_is_never_saved_over_a_file(client: Path, packet: Released) -> None:
    prepared = prepare_mail(MailOrder(packet.packet, to=ADDRESS))
    taken = client.parent / "message.eml"
    taken.write_text("mine")
    with pytest.raises(UsageError):
        save_mail(prepared, taken)
    assert taken.read_text() == "mine"

"""`packets mail` killed while the server has the message: the ledger stays whole, and asks."""

import subprocess
import sys
import time
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "mailing"))
from mail_samples import ADDRESS, PASSPHRASE, client_folder, released
from mail_servers import Inbox, certificates, serving
from office_folders import PACKETS, left_over, run_packets

from packets.sealing.ledger import entries, verify


def test_a_killed_run_leaves_a_whole_ledger_and_the_next_one_asks(tmp_path: Path) -> None:
    client = client_folder(tmp_path)
    packet = released(client).packet
    trusted = certificates(tmp_path)
    inbox = Inbox(stalls=True)
    with serving(inbox, trusted) as server:
        words = ["mail", packet, "--to", ADDRESS, "--ca-file", trusted.authority]
        words += ["--smtp", f"smtp+starttls://localhost:{server.port}"]
        with subprocess.Popen([PACKETS, *words], stderr=subprocess.PIPE) as run:
            while not inbox.data_asked and run.poll() is None:
                time.sleep(0.05)
            run.kill()
        inbox.stalls = False
        assert inbox.data_asked == 1
        assert verify(client).sound
        assert [e.event for e in entries(client) if "mail" in e.event] == ["mailing"]
        assert left_over(client) == []

        again = run_packets(*words)
        assert again.status == 2
        assert "may have been sent by a run that was stopped" in again.said
        sent = run_packets(*words, "--again", "--json")
    assert sent.document["outcome"] == "clean"
    assert len(inbox.taken) == 1
    assert PASSPHRASE not in sent.said + again.said


@pytest.mark.parametrize("more", [[], ["--json"]])
def test_without_a_keyboard_nothing_is_asked_and_nothing_sent(
    tmp_path: Path, more: list[str]
) -> None:
    client = client_folder(tmp_path)
    packet = released(client).packet
    run = run_packets("mail", packet, "--save", tmp_path / "message.eml", *more)
    assert run.status == 2
    assert "--confirm" in run.said
    assert not (tmp_path / "message.eml").exists()

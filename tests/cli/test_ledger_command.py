"""`packets ledger` shows events, and says aloud when the ledger is not whole."""

import json

import pytest

from packets.cli.entry import run
from packets.sealing.ledger import append


@pytest.fixture
def client(tmp_path):
    for number in (1, 2):
        append(tmp_path, "released", {"packet": f"2025-0147-{number}.pdf", "sha256": "0" * 64})
    return tmp_path


def test_show_lists_each_event_and_says_that_it_is_whole(client, capsys):
    assert run(["ledger", "show", str(client)]) == 0
    out = capsys.readouterr().out
    assert "2025-0147-1.pdf" in out
    assert "2025-0147-2.pdf" in out
    assert "Whole: 2 lines" in out


def test_verify_prints_the_head_to_note_elsewhere(client, capsys):
    assert run(["ledger", "verify", str(client), "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert run(["ledger", "verify", str(client)]) == 0
    assert document["head"] in capsys.readouterr().out


@pytest.mark.parametrize("command", ["show", "verify"])
def test_a_changed_line_is_status_1_and_named(command, client, capsys):
    ledger = client / "ledger.jsonl"
    ledger.write_bytes(ledger.read_bytes().replace(b"2025-0147-1", b"2025-0147-7"))
    assert run(["ledger", command, str(client)]) == 1
    told = capsys.readouterr()
    assert "Not whole: line 1" in told.out
    assert "not whole" in told.err


def test_a_client_without_a_ledger_is_whole_and_empty(tmp_path, capsys):
    assert run(["ledger", "show", str(tmp_path)]) == 0
    assert "no line yet" in capsys.readouterr().out

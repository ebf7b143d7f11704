"""A build that is stopped at any station leaves nothing half-made, and the next one succeeds."""

import hashlib
import json
import os
import pty
import re
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from office_folders import PACKETS, SMALL_SSN, left_over, sample_copy

from packets.cli.entry import run
from packets.sealing.ledger import entries, verify

DRIVER = Path(__file__).with_name("stopped_at_station.py")
STATIONS = (
    "inventory",
    "signing and flattening",
    "looking for numbers",
    "masking",
    "assembling",
    "sealing",
    "checking",
    "check",
    "proving the check",
    "releasing",
)
SYNCS = tuple(f"sync {number}" for number in (2, 4, 5, 7, 10, 11, 13, 15, 16, 18))
"""Moments when the documents are noted in the ledger; then of a release: while files are
staged, around the ledger line, the key, the names."""
STOPPED_BY_KEYBOARD = 1


def stopped(way, station, client, scratch, *more, **environment):
    """Run a build that ends at a station; what it said, and its status."""
    command = ["build", str(client), "--recipe", "client-copy", *more]
    return subprocess.run(
        [sys.executable, str(DRIVER), way, station, *command],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "TMPDIR": str(scratch), **environment},
    )


@pytest.fixture
def scratch(tmp_path):
    folder = tmp_path / "scratch"
    folder.mkdir()
    return folder


def assert_packets_are_whole(client):
    """Every packet under its final name has manifest, list line, key and ledger lines."""
    outbound = client / "outbound"
    packets = sorted(outbound.glob("*.pdf"))
    listed = (outbound / "SHA256SUMS").read_text() if packets else ""
    recorded = list(entries(client)) if packets else []
    for packet in packets:
        digest = hashlib.sha256(packet.read_bytes()).hexdigest()
        manifest = json.loads(packet.with_suffix(".manifest.json").read_bytes())
        assert manifest["sha256"] == digest
        assert f"{digest}  {packet.name}" in listed
        assert (client / "keys" / f"{packet.name}.txt").read_text().strip()
        events = [e.event for e in recorded if e.facts.get("packet") == packet.name]
        assert events[0] == "prepared"
    return packets


def assert_next_build_puts_all_in_order(client, scratch, capsys):
    assert run(["build", str(client), "--recipe", "client-copy", "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    packets = assert_packets_are_whole(client)
    assert Path(document["released"]["packet"]) in packets
    assert left_over(client) == []
    assert verify(client).sound
    ended = {e.facts["packet"]: e.event for e in entries(client) if "packet" in e.facts}
    assert set(ended.values()) <= {"released", "withdrawn"}
    assert {name for name, event in ended.items() if event == "released"} == {
        packet.name for packet in packets
    }
    manifests = {path.name for path in (client / "outbound").glob("*.manifest.json")}
    assert manifests == {packet.with_suffix(".manifest.json").name for packet in packets}
    keys = {path.name for path in (client / "keys").iterdir()}
    assert keys == {f"{packet.name}.txt" for packet in packets}
    assert list(scratch.iterdir()) == []


def test_a_build_names_these_stations_in_this_order(client, scratch):
    heard = stopped("listen", "", client, scratch)
    assert heard.returncode == 0
    assert tuple(dict.fromkeys(heard.stderr.split("\n")[:-1])) == STATIONS


@pytest.mark.parametrize("station", [*STATIONS, *SYNCS])
def test_killed_at_any_moment_it_leaves_no_half_packet(client, scratch, station, capsys):
    ended = stopped("kill", station, client, scratch)
    assert ended.returncode == -signal.SIGKILL
    assert_packets_are_whole(client)
    assert_next_build_puts_all_in_order(client, scratch, capsys)


@pytest.mark.parametrize("station", [*STATIONS, "sync 4", "sync 11", "sync 15"])
def test_stopped_from_the_keyboard_it_cleans_up_after_itself(client, scratch, station, capsys):
    ended = stopped("interrupt", station, client, scratch)
    assert ended.returncode == STOPPED_BY_KEYBOARD
    assert "stopped by you" in ended.stderr.lower()
    assert "Traceback" not in ended.stderr
    assert left_over(client) == []
    assert list(client.glob("outbound/*.pdf")) == []
    assert_next_build_puts_all_in_order(client, scratch, capsys)


@pytest.mark.parametrize("station", STATIONS)
def test_an_error_of_our_own_tells_no_number_and_no_passphrase(client, scratch, station):
    passphrase = "walnut harbor ribbon candle tundra mosaic"
    secret_file = scratch.parent / "passphrase.txt"
    secret_file.write_text(f"{passphrase}\n")
    secret_file.chmod(0o600)
    told = ""
    for form in ((), ("--json",)):
        ended = stopped(
            "fail",
            station,
            client,
            scratch,
            *("--password-file", str(secret_file), *form),
            SECRETS=f"{SMALL_SSN} {SMALL_SSN.replace('-', '')} {passphrase}",
        )
        assert ended.returncode == 70
        assert "our own fault" in (ended.stdout + ended.stderr)
        assert "Traceback" not in ended.stderr
        told += ended.stdout + ended.stderr
    for path in client.rglob("*"):
        told += path.name
        if path.is_file() and path.parent.parent.name != "documents":
            told += path.read_text(errors="replace")
    assert not re.search(r"666\W?12\W?3456", told)
    assert passphrase not in told
    assert not (client / "outbound").exists() or left_over(client) == []


def test_control_c_on_a_terminal_ends_a_build_within_its_work(tmp_path, scratch):
    client = sample_copy("joint-return", tmp_path / "client")
    parent, child = pty.openpty()
    command = [str(PACKETS), "build", str(client), "--recipe", "client-copy"]
    with subprocess.Popen(
        command,
        stdin=child,
        stdout=child,
        stderr=child,
        env={**os.environ, "TERM": "xterm", "TMPDIR": str(scratch)},
        start_new_session=True,
    ) as process:
        os.close(child)
        shown = b""
        while b"looking for numbers" not in shown:
            shown += os.read(parent, 65536)
        process.send_signal(signal.SIGINT)
        while True:
            try:
                shown += os.read(parent, 65536)
            except OSError:  # the other side is closed
                break
        process.wait()
    os.close(parent)
    assert process.returncode == STOPPED_BY_KEYBOARD
    assert b"stopped by you" in shown.lower()
    assert not re.search(rb"666-12-3481|000-45-2718", shown)
    assert list(client.glob("outbound/*")) == []
    assert list(scratch.iterdir()) == []

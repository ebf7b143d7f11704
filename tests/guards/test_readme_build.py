"""The first command of README.md does what README.md says."""

import hashlib
import json
import shlex
import shutil
from pathlib import Path

import pytest

from packets.cli.entry import run

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
BUILD = shlex.split(README.split("```sh\n", 2)[1].splitlines()[0].split(" && ")[-1])


@pytest.fixture(scope="module")
def client(tmp_path_factory):
    """A copy of the sample client, without what an earlier build may have left there."""
    copy = tmp_path_factory.mktemp("office") / "client"
    left = shutil.ignore_patterns("outbound", "office", "filing", "keys", "ledger*", ".partial-*")
    shutil.copytree(ROOT / BUILD[2], copy, ignore=left)
    return copy


def test_the_sample_client_copy_is_built_checked_and_recorded(client, capsys):
    assert run(["build", str(client), *BUILD[3:], "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    packet = Path(document["released"]["packet"])
    assert packet.parent == client / "outbound"
    assert hashlib.sha256(packet.read_bytes()).hexdigest() == document["released"]["sha256"]
    assert Path(document["released"]["manifest"]).is_file()
    assert Path(document["released"]["key_file"]).parent == client / "keys"
    assert document["check"]["verdict"] == "clean"
    assert document["masks"]
    assert run(["ledger", "verify", str(client)]) == 0
    assert run(["check", str(packet), "--password-file", document["released"]["key_file"]]) == 0

"""`packets sign capture` as it is typed: the address, the outcome, and the interrupt key."""

import json
import signal
import subprocess
import sys

import httpx
import pytest
from open_page import Visitor, client_folder, signature

from packets.base.errors import Held
from packets.cli.entry import run
from packets.cli.surroundings import Surroundings

RUN = "import sys; from packets.cli.entry import main; sys.exit(main())"


@pytest.fixture
def client(tmp_path):
    return client_folder(tmp_path)


def words(client, *more):
    return [
        "sign", "capture", str(client), "--role", "taxpayer",
        "--document", str(client / "documents" / "form-8879.pdf"),
        "--covers", "form-8879", "--until", "2126-12-31", "--by", "front desk",
        "--photo-id-seen", *more,
    ]  # fmt: skip


class Running:
    """The command in a process of its own, its page open."""

    def __init__(self, client, *more):
        self.process = subprocess.Popen(
            [sys.executable, "-c", RUN, *words(client, *more)],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        self.told = []
        for line in self.process.stderr:
            self.told.append(line)
            if line.strip().startswith("http://127.0.0.1:"):
                self.address = line.strip()
                return
        raise AssertionError("".join(self.told))

    def end(self):
        out, err = self.process.communicate(timeout=120)
        return self.process.returncode, out, "".join(self.told) + err


def left_in(client):
    return {path.relative_to(client).as_posix() for path in client.rglob("*") if path.is_file()}


def test_it_prints_the_address_waits_and_tells_grant_image_and_digest(client):
    running = Running(client, "--json")
    Visitor(running).post("signature", signature())
    status, out, err = running.end()
    told = json.loads(out)
    assert (status, told["outcome"]) == (0, "clean")
    assert (client / "signatures" / told["grant"]["image"]).is_file()
    assert (client / "signatures" / told["drawing"]).is_file()
    assert len(told["grant"]["document_sha256"]) == 64
    assert told["grant"]["figures"]["agi"] == 40671
    assert told["grant"]["consent"]
    assert "in the browser of this machine" in err
    assert running.address not in out


def test_for_a_person_it_tells_the_same(client):
    running = Running(client)
    Visitor(running).post("signature", signature())
    status, out, _ = running.end()
    assert status == 0
    assert "Signed and recorded: grant" in out
    assert "document and figures" in out


@pytest.mark.parametrize("opened", [False, True])
def test_the_interrupt_key_ends_it_and_nothing_is_half_made(client, opened):
    before = left_in(client)
    running = Running(client, "--json")
    if opened:
        Visitor(running).get("pages/1.png")
    running.process.send_signal(signal.SIGINT)
    status, out, _ = running.end()
    assert status == 1
    assert json.loads(out)["error"]["kind"] == "Stopped"
    assert left_in(client) == before
    with pytest.raises(httpx.TransportError):
        httpx.get(running.address, trust_env=False)


def test_a_process_killed_while_the_page_is_open_leaves_nothing(client):
    before = left_in(client)
    running = Running(client)
    visitor = Visitor(running)
    running.process.kill()
    running.end()
    with pytest.raises(httpx.TransportError):
        visitor.post("signature", signature())
    assert left_in(client) == before


def captured(capsys, client, capturing, *more):
    status = run([*words(client, *more), "--json"], Surroundings(capturing=lambda: capturing))
    return status, json.loads(capsys.readouterr().out)


def test_options_arrive_as_they_were_typed(client, capsys):
    asked = []

    def capturing(request, idle, announce, progress):
        asked.append((request, idle))
        raise Held("the signer chose not to sign")

    status, told = captured(
        capsys, client, capturing, "--how", "signature-pad", "--idle", "3", "--client-since", "2019"
    )
    assert (status, told["outcome"]) == (1, "held")
    ((request, idle),) = asked
    assert (request.how, idle, request.bind) == ("signature-pad", 3, "both")
    assert (request.evidence.client_since, request.evidence.photo_id_seen) == (2019, True)
    assert request.signed == client / "documents" / "form-8879.pdf"


@pytest.mark.parametrize("more", [("--how", "stamp"), ("--idle", "0"), ("--idle", "500")])
def test_what_makes_no_sense_is_refused(client, capsys, more):
    assert captured(capsys, client, None, *more)[0] == 2


@pytest.mark.parametrize("missing", ["starlette", "uvicorn", "jinja2"])
def test_without_the_extra_it_says_what_to_install(client, missing):
    without = f"import sys; sys.modules[{missing!r}] = None; {RUN}"
    done = subprocess.run(
        [sys.executable, "-c", without, *words(client, "--json")],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 2
    assert ".[pages]" in json.loads(done.stdout)["error"]["next"]

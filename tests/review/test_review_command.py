"""`packets review` as it is typed: the address, why the pages ended, the interrupt key."""

import json
import signal
import subprocess
import sys

import httpx
import pytest
from office_folders import small_client
from open_review import OpenReview, Visitor

from packets.cli.entry import run
from packets.cli.surroundings import Surroundings

RUN = "import sys; from packets.cli.entry import main; sys.exit(main())"


class Running:
    """The command in a process of its own, its pages open."""

    def __init__(self, place, *more) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-c", RUN, "review", str(place), "--json", *more],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        self.told = []
        for line in self.process.stderr:
            self.told.append(line)
            if line.strip().startswith("http://127.0.0.1:"):
                self.address = line.strip()
                self.origin = self.address.rpartition("/")[0]
                return
        raise AssertionError("".join(self.told))

    def end(self):
        out, err = self.process.communicate(timeout=60)
        return self.process.returncode, json.loads(out), "".join(self.told) + err


def left_in(folder):
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


def test_it_prints_the_address_waits_and_tells_why_the_pages_ended(tmp_path):
    running = Running(small_client(tmp_path / "client"))
    visitor = Visitor(running)
    assert visitor.get(visitor.packet()).status_code == 200
    visitor.leave()
    status, told, err = running.end()
    assert (status, told["ended"]) == (0, "done")
    assert "in the browser of this machine" in err
    assert running.address not in json.dumps(told)


def test_the_interrupt_key_in_the_middle_of_a_build_ends_all_and_leaves_a_sound_folder(tmp_path):
    client = small_client(tmp_path / "client")
    running = Running(client)
    visitor = Visitor(running)
    address = visitor.packet()
    text = visitor.get(address).text
    recipe = text.split('<option value="')[1].split('"')[0]
    build = f"{address.split('/')[0]}/build"
    assert visitor.post(build, {"recipe": recipe}).status_code == 200
    assert visitor.post(build, {"recipe": recipe}).status_code == 409  # it is under way
    running.process.send_signal(signal.SIGINT)
    status, told, _ = running.end()
    assert (status, told["error"]["kind"]) == (1, "Stopped")
    with pytest.raises(httpx.TransportError):
        httpx.get(running.address, trust_env=False)
    assert not [name for name in left_in(client) if ".pdf" in name and "documents" not in name]


def test_pages_to_which_nobody_comes_end_by_themselves(tmp_path):
    assert OpenReview(small_client(tmp_path / "client"), minutes=0).end() == "idle"


def test_options_arrive_as_they_were_typed(tmp_path, capsys):
    asked = []

    def reviewing(request, announce, progress):
        announce("http://127.0.0.1:1/x")
        asked.append(request)
        return "idle"

    words = ["review", str(tmp_path), "--recipe", "our.toml", "--idle", "7", "--json"]
    assert run(words, Surroundings(reviewing=lambda: reviewing)) == 0
    assert json.loads(capsys.readouterr().out)["ended"] == "idle"
    ((request),) = asked
    assert (request.place, request.recipe, request.idle_minutes) == (tmp_path, "our.toml", 7)


@pytest.mark.parametrize("missing", ["jinja2", "tomlkit"])
def test_without_the_extra_it_says_what_to_install(tmp_path, missing):
    without = f"import sys; sys.modules[{missing!r}] = None; {RUN}"
    done = subprocess.run(
        [sys.executable, "-c", without, "review", str(tmp_path), "--json"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 2
    assert ".[review]" in json.loads(done.stdout)["error"]["next"]

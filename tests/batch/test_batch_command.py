"""`packets batch` as an office runs it: its table, its statuses, and stopped at any moment."""

import csv
import json
import os
import shutil
import signal
import subprocess
import time

import pytest
from batch_clients import released, some_clients
from office_folders import PACKETS, put_pdf, run_packets, small_client

from packets.base.errors import ExitStatus
from packets.batch.records import BatchOrder, BatchReport, ClientOutcome, Ending, MadePacket
from packets.cli.entry import run
from packets.cli.surroundings import Surroundings


def batch(root, *more):
    return run_packets("batch", root, "--recipe", "client-copy", *more)


@pytest.fixture(scope="module")
def season(tmp_path_factory):
    """A root with one client of each sort, after a first and a second run."""
    root = tmp_path_factory.mktemp("season")
    good, odd, bad = some_clients(root, 3)
    put_pdf(odd / "documents" / "odd.pdf", ["words of no known form"])
    (bad / "documents" / "bad.pdf").write_bytes(b"%PDF-1.7\nbroken")
    first = batch(root, "--json", "--jobs", "2", "--csv", str(root / "season.csv"))
    return root, good, first, batch(root, "--jobs", "1")


def test_every_client_has_a_line_and_the_worst_decides(season):
    _, good, first, _ = season
    assert first.status == first.document["exit_status"] == 3
    assert first.document["outcome"] == "refused"
    lines = {one["client"]: one for one in first.document["clients"]}
    assert {name: line["ended"] for name, line in lines.items()} == {
        "client-0": "done",
        "client-1": "held",
        "client-2": "refused",
    }
    assert first.document["counts"] == {
        "done": 1,
        "held": 1,
        "refused": 1,
        "failed": 0,
        "unchanged": 0,
    }
    (packet,) = lines["client-0"]["packets"]
    assert (good / packet["packet"]).is_file()
    assert "documents/odd.pdf" in lines["client-1"]["why"][0]
    assert "documents/bad.pdf" in lines["client-2"]["why"][0]
    assert "1 refused, 1 held of 3 clients" in first.err


def test_the_table_for_other_programs_has_the_same_lines(season):
    root, _, first, _ = season
    with (root / "season.csv").open(newline="") as file:
        rows = list(csv.DictReader(file))
    told = [
        (one["client"], one["ended"], str(one["exit_status"])) for one in first.document["clients"]
    ]
    assert [(row["client"], row["ended"], row["exit_status"]) for row in rows] == told
    assert (root / "season.csv").stat().st_mode & 0o777 == 0o600


def test_the_second_run_builds_nothing_and_names_first_who_needs_a_person(season):
    _, good, _, second = season
    assert second.status == 3
    assert "1 refused, 1 held, 1 unchanged" in second.out
    assert (
        second.out.index("client-2") < second.out.index("client-1") < second.out.index("client-0")
    )
    assert len(released(good)) == 1


MOMENTS = {
    "begun": "*/batch/client-copy.json",
    "prepared": "*/ledger.jsonl",
    "released": "*/outbound/*.pdf",
}
"""What the first client shows when the run is stopped."""


@pytest.mark.parametrize(
    ("how", "moment"),
    [(signal.SIGKILL, "prepared"), (signal.SIGKILL, "released"), (signal.SIGINT, "begun")],
)
def test_stopped_at_any_moment_the_same_command_loses_nothing_and_doubles_nothing(
    tmp_path, how, moment
):
    clients = some_clients(tmp_path, 3)
    command = [str(PACKETS), "batch", str(tmp_path), "--recipe", "client-copy", "--jobs", "2"]
    stopped = subprocess.Popen(
        command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, start_new_session=True
    )
    while not list(tmp_path.glob(MOMENTS[moment])) and stopped.poll() is None:
        time.sleep(0.005)
    if how is signal.SIGINT:  # as a terminal does: to all of them
        os.killpg(stopped.pid, how)
    else:
        stopped.send_signal(how)
    _, said = stopped.communicate()
    assert b"Traceback" not in said
    resumed = batch(tmp_path, "--json")
    assert resumed.status == 0, resumed.said
    assert {one["ended"] for one in resumed.document["clients"]} <= {"done", "unchanged"}
    assert [len(released(client)) for client in clients] == [1] * 3


def show(report, *words, json_wanted=False):
    surroundings = Surroundings(batching=lambda: lambda order, hire, progress: report)
    return run(["batch", *words, "--recipe", "client-copy"], surroundings)


def outcome(root, name, ending, status, **more):
    return ClientOutcome(root / name, ending, status, **more)


def test_names_and_reasons_are_made_plain_on_every_way_out(tmp_path, capsys):
    made = (MadePacket("outbound/a.pdf", "0" * 64),)
    report = BatchReport(
        BatchOrder(tmp_path, "client-copy"),
        (
            outcome(tmp_path, "=666-12-3456", Ending.DONE, ExitStatus.CLEAN, packets=made),
            outcome(tmp_path, "b", Ending.HELD, ExitStatus.HELD, why=("\x1b[31m 666123456",)),
        ),
        2.0,
        "2 processes",
    )
    (tmp_path / "x").mkdir()
    assert show(report, str(tmp_path), "--csv", str(tmp_path / "s.csv")) == 1
    table = capsys.readouterr()
    assert show(report, str(tmp_path), "--json") == 1
    document = capsys.readouterr()
    written = (tmp_path / "s.csv").read_text()
    for told in (table.out, table.err, document.out, document.err, written):
        assert "666-12" not in told
        assert "666123" not in told
        assert "\x1b[31m" not in told
    assert written.splitlines()[1].startswith("'=XXX-XX-3456,done,clean,0,outbound/a.pdf,")
    assert json.loads(document.out)["clients_per_minute"] == 60.0


def test_wishes_that_exclude_each_other_or_lead_nowhere_are_told(tmp_path):
    small_client(tmp_path / "client")
    both = batch(tmp_path, "--jobs", "2", "--cluster", "tcp://127.0.0.1:9")
    assert both.status == 2
    assert "exclude each other" in both.said
    assert batch(tmp_path / "client" / "documents").status == 2
    assert run_packets("batch", tmp_path, "--recipe", "client-cop").status == 2
    shutil.rmtree(tmp_path / "client")
    assert "no client folder" in batch(tmp_path).said

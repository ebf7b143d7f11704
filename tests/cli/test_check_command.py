"""`packets check`: its reports for machines, its certificate, its watch, its memory."""

import json
import os
import re
import signal
import stat
import subprocess
import sys
import time
from pathlib import Path
from xml.etree.ElementTree import fromstring

import pypdf
import pytest

from packets.cli.entry import run
from packets.cli.junit_form import junit_xml
from packets.cli.sarif_form import sarif_log
from packets.outbound.records import Judgement, Sighting, Verdict

SHAPED = "the number is 666-12-3457"


@pytest.fixture
def out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    folder = tmp_path / "outbound"
    folder.mkdir()
    (folder / "clean.txt").write_text("Dear client, here is your copy.")
    (folder / "held & <so>.txt").write_text(SHAPED)
    (folder / "odd\nname.bin").write_bytes(bytes(range(256)))
    return folder


def told(capsys: pytest.CaptureFixture[str], *words: object) -> tuple[int, dict]:
    status = run(["check", *map(str, words), "--json"])
    return status, json.loads(capsys.readouterr().out)


def test_the_verdict_is_per_file_and_for_the_whole(out: Path, capsys) -> None:
    status, document = told(capsys, out)
    assert (status, document["files"], document["held"]) == (1, 3, 2)
    status, document = told(capsys, out / "clean.txt")
    assert (status, document["held"]) == (0, 0)


def test_a_file_name_makes_no_line_of_its_own(out: Path, capsys) -> None:
    assert run(["check", str(out)]) == 1
    shown = capsys.readouterr().out
    assert "odd?name.bin" in shown
    assert "3457" not in shown


def test_the_junit_report_counts_what_it_holds(out: Path, tmp_path: Path) -> None:
    assert run(["check", str(out), "--junit", str(tmp_path / "j.xml")]) == 1
    root = fromstring((tmp_path / "j.xml").read_bytes())
    cases = root.findall("./testsuite/testcase")
    assert (root.get("tests"), root.get("failures"), root.get("errors")) == ("3", "1", "1")
    assert len(cases) == 3
    assert len(root.findall(".//failure")) == len(root.findall(".//error")) == 1
    assert b"3457" not in (tmp_path / "j.xml").read_bytes()


def test_nothing_to_check_is_an_error_in_the_junit_report() -> None:
    root = fromstring(junit_xml(()))
    assert (root.get("tests"), root.get("errors")) == ("1", "1")


def test_the_sarif_report_has_the_shape_of_the_standard(out: Path, tmp_path: Path) -> None:
    assert run(["check", str(out), "--sarif", str(tmp_path / "s.json")]) == 1
    log = json.loads((tmp_path / "s.json").read_text(encoding="ascii"))
    assert log["version"] == "2.1.0"
    assert log["$schema"].endswith("sarif-schema-2.1.0.json")
    (one,) = log["runs"]
    rules = [rule["id"] for rule in one["tool"]["driver"]["rules"]]
    assert one["invocations"][0]["executionSuccessful"] is True
    assert len(one["artifacts"]) == 3
    assert {result["ruleId"] for result in one["results"]} == set(rules)
    for result in one["results"]:
        assert rules[result["ruleIndex"]] == result["ruleId"]
        assert result["level"] == "error"
        assert result["message"]["text"]
        place = result["locations"][0]["physicalLocation"]["artifactLocation"]
        assert one["artifacts"][place["index"]]["location"]["uri"] == place["uri"]
        assert re.fullmatch(r"\./[A-Za-z0-9._~%/-]+", place["uri"])
    for artifact in one["artifacts"]:
        assert re.fullmatch("[0-9a-f]{64}", artifact["hashes"]["sha-256"])
    assert "3457" not in json.dumps(one["results"])


def test_reports_hold_no_number_and_no_odd_sign() -> None:
    seen = Sighting("ssn", 2, "in 666-12-3457\x00\ud800", "page text", "shape")
    verdict = Verdict("666-12-3457\x1b.pdf", "0" * 64, Judgement.HELD, (), (seen,), ("a\x02b",))
    xml = junit_xml((verdict,)).decode()
    fromstring(xml.encode())
    text = json.dumps(sarif_log((verdict,)))
    for report in (xml, text):
        assert "666-12" not in report


def test_the_certificate_is_one_page_for_us_alone(out: Path, tmp_path: Path) -> None:
    target = tmp_path / "certificate.pdf"
    assert run(["check", str(out), "--certificate", str(target)]) == 1
    document = pypdf.PdfReader(target)
    assert len(document.pages) == 1
    assert "HELD: 2 of 3 files" in document.pages[0].extract_text()
    assert stat.S_IMODE(target.stat().st_mode) == 0o600
    assert run(["check", str(target)]) == 0


def test_afresh_reads_and_remembers_nothing(out: Path, tmp_path: Path, capsys) -> None:
    assert run(["check", str(out), "--afresh"]) == 1
    assert not (tmp_path / "cache").exists()
    assert run(["check", str(out)]) == 1
    assert (tmp_path / "cache" / "packets" / "checked" / "verdicts").exists()


def test_a_memory_that_cannot_be_kept_is_told_and_changes_nothing(
    out: Path, tmp_path: Path, capsys
) -> None:
    (tmp_path / "cache").write_text("in the way")
    status, document = told(capsys, out)
    assert (status, document["held"]) == (1, 2)
    assert "not remembered" in document["notes"][0]


@pytest.mark.parametrize(
    "words", [("--watch", "--prove"), ("--watch", "--junit", "j.xml"), ("--prove", "--sarif", "s")]
)
def test_watch_and_proof_stand_alone(out: Path, words: tuple[str, ...]) -> None:
    assert run(["check", str(out), *words]) == 2


def test_a_file_is_no_folder_to_watch(out: Path) -> None:
    assert run(["check", str(out / "clean.txt"), "--watch"]) == 2


@pytest.mark.parametrize("end", [signal.SIGINT, signal.SIGTERM])
def test_a_watch_moves_tells_and_ends_cleanly(out: Path, end: signal.Signals) -> None:
    words = [sys.executable, "-m", "packets", "check", str(out), "--watch", "--json"]
    watch = subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=os.environ)
    held = out.parent / "held"
    try:
        for _ in range(600):
            if len(list(held.glob("*/why.txt"))) == 2:
                break
            time.sleep(0.1)
        watch.send_signal(end)
        shown, said = watch.communicate(timeout=60)
    finally:
        watch.kill()
    assert watch.returncode == 1
    document = json.loads(shown)
    assert (document["clean"], len(document["held"])) == (1, 2)
    assert b"of a full number" in said
    assert b"3457" not in said + shown
    assert [each.name for each in out.iterdir()] == ["clean.txt"]

"""`packets retention` lists what may go on a day and what must stay; it removes nothing.

The worked dates, each through engagement.toml: A to D by IRC 6107(b) and 6060(c) and
26 CFR 1.6107-1(b); E to G by IRS Pub. 1345, on Forms 8879 and 8878.
"""

import datetime as dt
import json
from pathlib import Path

import pytest

from packets.cli.entry import run
from packets.sealing.ledger import append

COPY, FORMS, DILIGENCE, PAPERS = "completed copy", "Forms 8879", "Form 8867", "income statements"
COMPLETE = {"presented_on": "2026-03-03", "due_on": "2026-04-15", "received_on": "2026-02-10"}


def client(root: Path, name: str = "client", **dates: str) -> Path:
    folder = root / name
    folder.mkdir(parents=True)
    lines = [f"{key} = {value}" for key, value in dates.items()]
    head = ["[engagement]", 'id = "2025-0147"', "tax_year = 2025", 'household = "Ana Sample"']
    (folder / "engagement.toml").write_text("\n".join([*head, *lines, ""]))
    return folder


def retention(root: Path, capsys, *words: str, status: int = 0):
    capsys.readouterr()
    assert run(["retention", str(root), *words, "--json"]) == status
    return json.loads(capsys.readouterr().out)


def records(document, number: int = 0):
    return {line["rule"]: line for line in document["clients"][number]["records"]}


def of_rule(document, rule: str):
    (line,) = [line for name, line in records(document).items() if name.startswith(rule)]
    return line


WORKED = [
    ("A", COPY, {"presented_on": "2026-03-03", "due_on": "2026-04-15"}, "2029-06-30"),
    ("B", COPY, {"presented_on": "2026-09-20", "due_on": "2026-10-15"}, "2030-06-30"),
    (
        "C",
        COPY,
        {"presented_on": "2026-06-25", "due_on": "2026-04-15", "extended_due_on": "2026-10-15"},
        "2030-06-30",
    ),
    ("D, last day", COPY, {"presented_on": "2026-06-30", "due_on": "2026-04-15"}, "2029-06-30"),
    ("D, first day", COPY, {"presented_on": "2026-07-01", "due_on": "2026-04-15"}, "2030-06-30"),
    ("E", FORMS, {"due_on": "2026-04-15", "received_on": "2026-02-10"}, "2029-04-15"),
    ("F, original", FORMS, {"due_on": "2026-04-15", "received_on": "2026-10-09"}, "2029-10-09"),
    (
        "F, extended",
        FORMS,
        {"due_on": "2026-04-15", "extended_due_on": "2026-10-15", "received_on": "2026-10-09"},
        "2029-10-15",
    ),
    ("G", FORMS, {"due_on": "2028-02-29", "received_on": "2028-02-01"}, "2031-03-01"),
]


@pytest.mark.parametrize(
    ("rule", "dates", "until"), [row[1:] for row in WORKED], ids=[row[0] for row in WORKED]
)
def test_a_worked_date_is_the_last_day_on_which_it_must_be_kept(
    tmp_path, capsys, rule, dates, until
):
    client(tmp_path, **dates)
    last = of_rule(retention(tmp_path, capsys, "--on", until), rule)
    assert last["keep_until"] == until
    assert not last["may_go"]
    day_after = (dt.date.fromisoformat(until) + dt.timedelta(days=1)).isoformat()
    assert of_rule(retention(tmp_path, capsys, "--on", day_after), rule)["may_go"]


@pytest.mark.parametrize("missing", sorted(COMPLETE))
def test_a_date_that_is_not_known_for_certain_lets_nothing_go(tmp_path, capsys, missing):
    dates = {key: value for key, value in COMPLETE.items() if key != missing}
    client(tmp_path, **dates)
    document = retention(tmp_path, capsys, "--on", "2099-01-01")
    uncertain = [line for line in records(document).values() if not line["may_go"]]
    assert uncertain
    assert all(missing in line["why"] for line in uncertain)
    assert not document["clients"][0]["may_go"]
    assert document["clients"][0]["keep_until"] is None


def test_the_whole_folder_may_go_after_the_latest_of_its_dates(tmp_path, capsys):
    client(tmp_path, **COMPLETE)
    before = retention(tmp_path, capsys, "--on", "2029-06-30")["clients"][0]
    assert (before["keep_until"], before["may_go"]) == ("2029-06-30", False)
    assert retention(tmp_path, capsys, "--on", "2029-07-01")["clients"][0]["may_go"]


def prepared(folder: Path, until: str, packet: str = "a.pdf", rule: str = "") -> None:
    name = rule or "Forms 8879 and 8878: three years from the due date or the date received, "
    line = {"rule": rule or name + "if later", "keep_until": until, "source": "a source"}
    append(folder, "prepared", {"packet": packet, "folder": "office", "retention": [line]})


def test_the_later_of_engagement_and_ledger_counts(tmp_path, capsys):
    folder = client(tmp_path, **COMPLETE)
    prepared(folder, "2028-01-01")
    assert of_rule(retention(tmp_path, capsys), FORMS)["keep_until"] == "2029-04-15"
    prepared(folder, "2033-01-01")
    line = of_rule(retention(tmp_path, capsys), FORMS)
    assert (line["keep_until"], line["source"]) == ("2033-01-01", "a source")


def test_a_rule_that_only_the_ledger_knows_counts_too(tmp_path, capsys):
    folder = client(tmp_path, **COMPLETE)
    prepared(folder, "2040-01-01", rule="a rule of another day")
    document = retention(tmp_path, capsys, "--on", "2035-01-01")
    assert not of_rule(document, "a rule of another day")["may_go"]
    assert not document["clients"][0]["may_go"]


def test_a_released_packet_goes_with_the_latest_date_and_a_withdrawn_one_is_none(tmp_path, capsys):
    folder = client(tmp_path, **COMPLETE)
    for packet, end in (("a.pdf", "released"), ("b.pdf", "withdrawn")):
        prepared(folder, "2027-01-01", packet)
        append(folder, end, {"packet": packet})
    packets = retention(tmp_path, capsys, "--on", "2029-06-30")["clients"][0]["packets"]
    expected = {"packet": "a.pdf", "folder": "office", "keep_until": "2029-06-30", "may_go": False}
    assert packets == [expected]
    assert retention(tmp_path, capsys, "--on", "2029-07-01")["clients"][0]["packets"][0]["may_go"]


def test_every_client_folder_below_is_found_and_nothing_else(tmp_path, capsys):
    for name in ("2025/b", "2025/a", "c", ".hidden/d"):
        client(tmp_path, name, **COMPLETE)
    client(tmp_path, "c/documents", **COMPLETE)
    (tmp_path / "link").symlink_to(tmp_path / "c")
    found = [Path(line["folder"]) for line in retention(tmp_path, capsys)["clients"]]
    assert found == [tmp_path / "2025" / "a", tmp_path / "2025" / "b", tmp_path / "c"]
    alone = retention(tmp_path / "c", capsys)["clients"]
    assert [Path(line["folder"]) for line in alone] == [tmp_path / "c"]


def test_a_folder_that_cannot_be_judged_is_kept_and_the_others_are_told(tmp_path, capsys):
    client(tmp_path, "good", **COMPLETE)
    spoilt = client(tmp_path, "spoilt", **COMPLETE)
    append(spoilt, "event", {})
    ledger = spoilt / "ledger.jsonl"
    ledger.write_bytes(ledger.read_bytes().replace(b"event", b"evens", 1))
    (client(tmp_path, "wrong") / "engagement.toml").write_text("[engagement]\n")
    document = retention(tmp_path, capsys, "--on", "2099-01-01", status=1)
    told = {Path(line["folder"]).name: line for line in document["clients"]}
    assert told["good"]["may_go"]
    assert not told["good"]["unread"]
    assert "ledger is not whole, line 1" in told["spoilt"]["unread"][0]
    assert "engagement.toml has faults" in told["wrong"]["unread"][0]
    for name in ("spoilt", "wrong"):
        assert not [line for line in told[name]["records"] if line["may_go"]]


def test_nothing_on_the_disk_is_changed(tmp_path, capsys):
    folder = client(tmp_path, **COMPLETE)
    append(folder, "event", {})
    seen = {path: (path.stat().st_mtime_ns, path.stat().st_size) for path in tmp_path.rglob("*")}
    retention(tmp_path, capsys, "--on", "2099-01-01")
    run(["retention", str(tmp_path), "--on", "2099-01-01"])
    run(["ledger", "show", str(folder)])
    now = {path: (path.stat().st_mtime_ns, path.stat().st_size) for path in tmp_path.rglob("*")}
    assert now == seen


def test_the_sheet_says_what_may_go_what_stays_and_who_decides(tmp_path, capsys):
    client(tmp_path, **COMPLETE)
    assert run(["retention", str(tmp_path), "--on", "2029-05-01"]) == 0
    out = " ".join(capsys.readouterr().out.split())
    may_go, must_stay = out.split("Must be kept")
    assert "Forms 8879" in may_go
    assert "completed copy" in must_stay
    assert "2029-06-30" in must_stay
    assert "state rules differ" in must_stay
    assert "Nothing was deleted" in must_stay


def test_a_ledger_that_goes_on_after_today_tells_of_the_clock(tmp_path, capsys):
    folder = client(tmp_path, **COMPLETE)
    append(folder, "event", {}, at=dt.datetime(2199, 1, 1, tzinfo=dt.UTC))
    assert "clock is behind" in retention(tmp_path, capsys)["clients"][0]["notes"][0]
    assert retention(tmp_path, capsys, "--on", "2026-01-01")["clients"][0]["notes"] == []


def test_a_folder_without_clients_and_a_date_that_is_none_are_wrong(tmp_path, capsys):
    retention(tmp_path, capsys, status=2)
    client(tmp_path, **COMPLETE)
    retention(tmp_path, capsys, "--on", "tomorrow", status=2)


def test_the_ledger_shows_the_dates_and_their_sources(tmp_path, capsys):
    folder = client(tmp_path, **COMPLETE)
    prepared(folder, "2033-01-01")
    assert run(["ledger", "show", str(folder), "--json"]) == 0
    shown = json.loads(capsys.readouterr().out)["retention"]
    assert [line["keep_until"] for line in shown] == [
        "2029-06-30",
        "2033-01-01",
        "2029-04-15",
        "2026-12-31",
    ]
    assert all(line["source"] for line in shown)
    assert run(["ledger", "show", str(folder)]) == 0
    assert "2029-06-30" in capsys.readouterr().out

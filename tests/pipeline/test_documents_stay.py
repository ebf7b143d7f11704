"""Documents are read and never touched; each version of them is on record with its digest."""

import hashlib
import json
import subprocess

from office_folders import PACKETS, put_pdf, run_packets

from packets.sealing.ledger import entries, verify


def build(client, status=0):
    run = run_packets("build", client, "--recipe", "client-copy", "--json")
    assert run.status == status, run.said
    return run.document


def noted(client):
    return [entry.facts for entry in entries(client) if entry.event == "documents taken in"]


def digests(client):
    return {
        path.relative_to(client).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in (client / "documents").rglob("*")
        if path.is_file()
    }


def states(client):
    return {
        path: (path.read_bytes(), path.stat().st_mtime_ns, path.stat().st_ino)
        for path in (client / "documents").rglob("*")
        if path.is_file()
    }


def test_no_command_writes_moves_or_removes_a_document(client):
    before = states(client)
    for words in (
        ("inventory", client),
        ("plan", client, "--recipe", "client-copy"),
        ("build", client, "--recipe", "client-copy"),
        ("build", client, "--recipe", "office-copy"),
        ("retention", client, "--on", "2099-01-01"),
        ("ledger", "show", client),
        ("check", client / "outbound"),
    ):
        run_packets(*words)
    assert states(client) == before


def test_each_version_of_a_document_is_noted_once_with_its_digest(client):
    first = digests(client)
    build(client)
    build(client)
    assert len(noted(client)) == 1
    seen = {line["file"]: line["sha256"] for line in noted(client)[0]["first_seen"]}
    assert seen == first

    changed = sorted((client / "documents").rglob("*.pdf"))[0]
    name = changed.relative_to(client).as_posix()
    changed.write_bytes(changed.read_bytes() + b"% saved once more\n")
    build(client)
    assert noted(client)[1:] == [
        {
            "changed": [
                {
                    "file": name,
                    "version": 2,
                    "sha256": digests(client)[name],
                    "was_sha256": first[name],
                }
            ]
        }
    ]
    shown = " ".join(run_packets("ledger", "show", client).out.split())
    assert "1 changed" in shown
    assert f"{digests(client)[name][:12]}" in shown
    assert verify(client).sound


def test_a_build_that_is_held_notes_what_it_met(client):
    put_pdf(client / "documents" / "note.pdf", ["Call back on Tuesday about the garden fence."])
    build(client, status=1)
    assert {line["file"] for line in noted(client)[0]["first_seen"]} == set(digests(client))
    (client / "documents" / "note.pdf").unlink()
    build(client)
    assert [line["file"] for line in noted(client)[1]["gone"]] == ["documents/note.pdf"]


def test_two_builds_at_once_take_turns_and_note_each_document_once(client):
    command = [str(PACKETS), "build", str(client), "--recipe", "client-copy", "--json"]
    runs = [subprocess.Popen(command, stdout=subprocess.PIPE) for _ in range(2)]
    told = [json.loads(run.communicate()[0]) for run in runs]
    assert [run.returncode for run in runs] == [0, 0]
    packets = {document["released"]["packet"] for document in told}
    assert len(packets) == 2
    assert len(noted(client)) == 1
    assert verify(client).sound
    assert verify(client).lines == 5
    for packet in packets:
        assert run_packets("verify", packet).status == 0

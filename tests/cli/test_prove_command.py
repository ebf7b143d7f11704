"""`packets check --prove`: its exit status, its table, its JSON document."""

import json
from dataclasses import replace

import pytest
from pipeline_stand_in import PipelineStandIn, a_file_proof, a_sighting, a_verdict

from packets.cli.entry import run
from packets.cli.surroundings import Surroundings

NO_PROOF = replace(a_file_proof(), proof=None, is_pdf=False, why_not="no PDF")
LOCKED = replace(NO_PROOF, verdict=a_verdict(unread=("a locked file",)), is_pdf=True)
NOT_CLEAN = replace(a_file_proof(), verdict=a_verdict(a_sighting()))


def told(tmp_path, capsys, *proofs, more=()):
    pipeline = PipelineStandIn(proofs=proofs)
    words = ["check", "--prove", str(tmp_path), *more]
    status = run(words, Surroundings(pipeline=lambda: pipeline, checking=lambda: pipeline))
    assert pipeline.asked == [((tmp_path,), None, None, False)]
    return status, capsys.readouterr()


@pytest.mark.parametrize(
    ("proofs", "status"),
    [
        ((a_file_proof(),), 0),
        ((a_file_proof(), NO_PROOF), 0),
        ((a_file_proof("picture"),), 1),
        ((a_file_proof(), a_file_proof("picture")), 1),
        ((NOT_CLEAN,), 1),
        ((a_file_proof(), LOCKED), 1),
        ((replace(a_file_proof(), proof=None),), 1),
        ((NO_PROOF,), 1),
        ((), 1),
    ],
)
def test_only_clean_files_with_whole_proofs_end_in_status_0(proofs, status, tmp_path, capsys):
    assert told(tmp_path, capsys, *proofs)[0] == status


def test_the_table_says_for_each_place_whether_and_by_whom_it_was_found(tmp_path, capsys):
    _, said = told(tmp_path, capsys, a_file_proof("picture turned over"))
    lines = said.out.splitlines()
    assert "Not proved: 2 numbers planted in copies, 1 found, 1 missed." in said.out
    (found,) = (line for line in lines if "page text" in line)
    assert "yes" in found
    (missed,) = (line for line in lines if "picture turned over" in line)
    assert "NO" in missed
    assert "not told" in missed


def test_a_whole_proof_is_told_in_a_plain_line(tmp_path, capsys):
    _, said = told(tmp_path, capsys, a_file_proof())
    assert "Proved: 1 number planted in copies, 1 found." in said.out


def test_a_file_in_which_nothing_was_planted_says_why(tmp_path, capsys):
    _, said = told(tmp_path, capsys, NO_PROOF)
    assert "Nothing was planted: no PDF" in said.out
    assert "nothing was proved" in said.err


def test_the_json_document_has_a_row_for_each_place(tmp_path, capsys):
    status, said = told(tmp_path, capsys, a_file_proof("picture"), NO_PROOF, more=["--json"])
    document = json.loads(said.out)
    assert document["outcome"] == "held"
    assert document["exit_status"] == status == 1
    first, second = document["proofs"]
    assert first["check"]["verdict"] == "clean"
    assert (first["proof"]["places"], first["proof"]["found"]) == (2, 1)
    assert first["proof"]["planted"][1] == {
        "family": "small proof",
        "place": "picture",
        "number": "unknown",
        "found": False,
        "how": "missed",
        "seen_by": [],
    }
    assert second["proof"] is None
    assert second["why_not"] == "no PDF"

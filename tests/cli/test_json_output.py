"""`--json` prints exactly one JSON document, whatever happens."""

import errno
import json
from dataclasses import replace

import pytest
from pipeline_stand_in import (
    DIGEST,
    WORDS,
    PipelineStandIn,
    a_sighting,
    a_verdict,
    held_report,
    released_report,
)

from packets.base.errors import Fault, FileFaults, Locked
from packets.cli.entry import run
from packets.cli.surroundings import Surroundings


@pytest.fixture
def told(tmp_path, capsys):
    """Runs a command with --json; gives its status and the document on standard output."""

    def tell(arguments, **case):
        pipeline = PipelineStandIn(**case)
        filled = [str(tmp_path) if word == "CLIENT" else word for word in arguments]
        status = run(
            [*filled, "--json"], Surroundings(pipeline=lambda: pipeline, checking=lambda: pipeline)
        )
        document = json.loads(capsys.readouterr().out)
        assert document["exit_status"] == status
        return document

    return tell


BUILD = ["build", "CLIENT", "--recipe", "client-copy"]


def test_a_build_tells_where_everything_is_but_never_the_passphrase(told):
    document = told(BUILD)
    assert document["outcome"] == "clean"
    assert document["released"]["packet"].endswith("2025-0147-client-copy.pdf")
    assert document["released"]["key_file"].endswith("keys/2025-0147-client-copy.txt")
    assert document["released"]["sha256"] == DIGEST
    assert document["parts"][1] == {"heading": "Federal return", "first_page": 3, "pages": 3}
    assert document["sources"][0]["left_out"] == [{"pages": [3], "why": "a voucher to pay with"}]
    assert WORDS not in json.dumps(document)


def test_a_held_build_tells_each_reason_and_no_packet(told):
    document = told(BUILD, report=held_report())
    assert (document["outcome"], document["exit_status"]) == ("held", 1)
    assert document["released"] is None
    assert len(document["held"]) == 2
    assert document["check"]["sightings"][0]["page"] == 4
    assert document["check"]["unread"] == ["picture on page 5"]


def test_a_plan_tells_each_page_with_its_reason(told):
    document = told(["plan", "CLIENT", "--recipe", "client-copy"], stops=("page 1 is unknown",))
    planned = document["parts"][0]["documents"][0]["pages"]
    assert [page["page"] for page in planned] == [1, 2]
    assert planned[0]["why"] == "part takes form-1040"
    assert document["left_out"][0]["pages"] == [3]
    assert document["stops"] == ["page 1 is unknown"]


def test_an_inventory_tells_every_page_and_shows_no_number_in_a_file_name(told):
    document = told(["inventory", "CLIENT"])
    assert len(document["pages"]) == 4
    assert document["pages"][3]["category"] is None
    assert document["pages"][3]["evidence"]["sure"] is False
    assert document["documents"][1]["file"] == "documents/scan XXX-XX-3456.pdf"
    assert "666-12" not in json.dumps(document)


def test_a_check_tells_one_verdict_for_each_file(told):
    document = told(["check", "CLIENT"], verdicts=(a_verdict(), a_verdict(a_sighting())))
    assert [verdict["verdict"] for verdict in document["verdicts"]] == ["clean", "held"]
    assert document["verdicts"][0]["readers"][0]["pages"] == 5


def test_a_mask_tells_target_and_places(told, tmp_path):
    source = tmp_path / "in.pdf"
    source.write_bytes(b"%PDF-")
    document = told(["mask", str(source), str(tmp_path / "out.pdf")])
    assert document["target"] == str(tmp_path / "out.pdf")
    assert document["masks"][0]["shown"] == "XXX-XX-3456"
    held = told(["mask", str(source), str(tmp_path / "out.pdf")], mask_held=True)
    assert held["target"] is None
    assert held["held"]


def test_recipes_and_their_schema_are_told(told):
    names = [recipe["name"] for recipe in told(["recipe", "list"])["recipes"]]
    assert "client-copy" in names
    assert told(["recipe", "show", "client-copy"])["recipe"]["audience"] == "client"
    assert "properties" in told(["recipe", "schema"])["schema"]


def test_an_error_is_one_document_too(told):
    document = told(BUILD, error=Locked("it asks for a password", where="documents/a.pdf"))
    assert document["outcome"] == "refused"
    assert document["error"]["kind"] == "Locked"
    assert document["error"]["where"] == "documents/a.pdf"
    assert "--password-file" in document["error"]["next"]


def test_every_fault_of_a_file_is_a_member_of_its_own(told):
    faults = (Fault("line 3, part", "unknown key", nearest="take"), Fault("line 9", "missing"))
    document = told(BUILD, error=FileFaults("recipe.toml", faults))
    assert [fault["where"] for fault in document["error"]["faults"]] == ["line 3, part", "line 9"]
    assert document["error"]["faults"][0]["nearest"] == "take"


def test_a_fault_while_the_document_is_made_is_a_document_too(told):
    broken = replace(released_report(), facts=None)
    document = told(BUILD, report=broken)
    assert document["outcome"] == "fault"
    assert document["error"]["where"].startswith("packets/cli/")


@pytest.mark.parametrize(
    ("arguments", "case", "outcome"),
    [
        (["build"], {}, "wrong"),
        (["no-such-command"], {}, "wrong"),
        (BUILD, {"error": KeyboardInterrupt()}, "held"),
        (BUILD, {"error": OSError(errno.ENOSPC, "x", "a.pdf")}, "refused"),
        (BUILD, {"error": ZeroDivisionError("x")}, "fault"),
    ],
)
def test_even_what_goes_wrong_before_or_below_is_one_document(arguments, case, outcome, told):
    document = told(arguments, **case)
    assert document["outcome"] == outcome
    assert document["error"]["next"]

"""One client is built once for what it is; what a crash leaves is told by the ledger."""

import json
import os
import shutil
from pathlib import Path

import pytest
from batch_clients import CountedBuild, ended, endings, job_for, record_of, released
from office_folders import put_pdf, small_client

from packets.base.errors import Damaged, ExitStatus
from packets.batch.batch_key import KEY_FILE, batch_key
from packets.batch.client_record import read_record
from packets.batch.records import Ending
from packets.handover import masked as masking_station
from packets.sealing.reviewed_release import release_waiting

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def built_once(tmp_path_factory):
    """A client that was built, to be copied: the path has no part in what is remembered."""
    folder = small_client(tmp_path_factory.mktemp("office") / "client")
    assert ended(job_for(folder)).ending is Ending.DONE
    return folder


@pytest.fixture
def built(built_once, tmp_path):
    return Path(shutil.copytree(built_once, tmp_path / "client"))


def test_a_client_is_built_and_passed_over_the_second_time(client):
    build = CountedBuild()
    first, second = ended(job_for(client), build), ended(job_for(client, run="2" * 32), build)
    assert endings(first, second) == [Ending.DONE, Ending.UNCHANGED]
    assert first.status is second.status is ExitStatus.CLEAN
    assert build.asked == 1
    assert first.sha256 == second.sha256
    assert len(released(client)) == 1


def test_the_same_job_handed_out_twice_is_done_once_and_told_as_done(client):
    build = CountedBuild()
    assert (
        endings(ended(job_for(client), build), ended(job_for(client), build)) == [Ending.DONE] * 2
    )
    assert build.asked == 1


def test_afresh_builds_what_has_not_changed_but_not_the_same_job_twice(client):
    build = CountedBuild()
    ended(job_for(client), build)
    again = job_for(client, run="2" * 32, afresh=True)
    assert endings(ended(again, build), ended(again, build)) == [Ending.DONE] * 2
    assert build.asked == 2
    assert len(released(client)) == 2


def new_page(client):
    put_pdf(client / "documents" / "letter" / "second.pdf", ["Dear Ms Marsh,", "one more thing."])


def other_figure(client):
    put_pdf(client / "documents" / "letter" / "letter.pdf", ["Dear Ms Marsh,", "Sincerely"])


def other_engagement(client):
    file = client / "engagement.toml"
    file.write_text(file.read_text() + "# looked at again\n")


def identifiers(client):
    file = client / "identifiers.toml"
    file.write_text('[[identifier]]\nkind = "ssn"\nvalue = "666-12-3456"\nholder = "taxpayer"\n')
    file.chmod(0o600)


def grants(client):
    (client / "signatures").mkdir()
    (client / "signatures" / "grants.toml").write_text("# nobody yet\n")


def office(client):
    (client.parent / "office.toml").write_text('[office]\nname = "Sample Tax Office"\n')


def packet_gone(client):
    next(client.glob("outbound/*.pdf")).unlink()


def packet_altered(client):
    packet = next(client.glob("outbound/*.pdf"))
    packet.write_bytes(packet.read_bytes() + b"\n")


def record_altered(client):
    file = client / "batch" / "client-copy.json"
    file.write_bytes(file.read_bytes().replace(b'"pages":', b'"pages": '))


def key_gone(client):
    (client / "keys" / KEY_FILE).unlink()


def key_open_to_others(client):
    (client / "keys" / KEY_FILE).chmod(0o644)


CHANGES = [
    new_page,
    other_figure,
    other_engagement,
    identifiers,
    grants,
    office,
    packet_gone,
    packet_altered,
    record_altered,
    key_gone,
    key_open_to_others,
]


@pytest.mark.parametrize("change", CHANGES, ids=lambda change: change.__name__)
def test_whatever_decides_over_the_packet_makes_it_be_built_again(built, change):
    assert ended(job_for(built, run="2" * 32)).ending is Ending.UNCHANGED
    change(built)
    build = CountedBuild()
    assert ended(job_for(built, run="3" * 32), build).ending is Ending.DONE
    assert build.asked == 1


def test_another_program_or_recipe_is_refused_before_anything_is_touched(client):
    for job in (
        job_for(client, program="0" * 64),
        job_for(client, recipe_sha256="0" * 64),
    ):
        result = ended(job)
        assert (result.ending, result.status) == (Ending.REFUSED, ExitStatus.USAGE)
        assert result.note
    assert not (client / "batch").exists()


def test_a_hold_is_told_again_without_a_build_until_something_changes(client):
    odd = put_pdf(client / "documents" / "odd.pdf", ["words of no known form"])
    build = CountedBuild()
    results = [ended(job_for(client, run=str(n) * 32), build) for n in (1, 2)]
    assert endings(*results) == [Ending.HELD] * 2
    assert build.asked == 1
    assert results[1].status is ExitStatus.HELD
    assert "documents/odd.pdf" in record_of(client).why[0]
    odd.unlink()
    assert ended(job_for(client, run="3" * 32), build).ending is Ending.DONE


def test_a_refused_file_is_told_by_the_record_and_tried_again(client):
    bad = client / "documents" / "bad.pdf"
    bad.write_bytes(b"%PDF-1.7\nbroken")
    build = CountedBuild()
    for run in ("1" * 32, "2" * 32):
        result = ended(job_for(client, run=run), build)
        assert (result.ending, result.status) == (Ending.REFUSED, ExitStatus.REFUSED)
    assert build.asked == 2
    assert "documents/bad.pdf" in " ".join(record_of(client).why)


def test_faults_in_a_clients_own_file_are_its_own(client):
    (client / "engagement.toml").write_text("[engagement]\n")
    result = ended(job_for(client))
    assert (result.ending, result.status) == (Ending.REFUSED, ExitStatus.USAGE)


def test_an_error_of_ours_is_told_by_kind_and_place_and_never_by_its_words(client):
    def fault(_):
        raise ValueError("666-12-3456")

    result = ended(job_for(client), CountedBuild(before=[fault]))
    assert (result.ending, result.status) == (Ending.FAILED, ExitStatus.FAULT)
    assert "ValueError" in record_of(client).why[0]
    assert "3456" not in "".join(record_of(client).why)


def test_a_folder_that_is_gone_is_one_outcome(tmp_path):
    result = ended(job_for(tmp_path / "nobody"))
    assert result.ending is Ending.REFUSED
    assert not result.recorded
    assert result.note


def test_reasons_hold_no_number_even_where_an_error_names_one(client):
    def refused(_):
        raise Damaged("broken", where="documents/666-12-3456.pdf")

    ended(job_for(client), CountedBuild(before=[refused]))
    assert "666-12" not in " ".join(record_of(client).why)


def test_a_second_recipe_masks_no_source_again_and_makes_the_same_pages(tmp_path, monkeypatch):
    second = tmp_path / "second-copy.toml"
    shipped = (ROOT / "recipes" / "client-copy.toml").read_text()
    second.write_text(shipped.replace('name = "client-copy"', 'name = "second-copy"'))
    masked = []
    real = masking_station.mask_document
    monkeypatch.setattr(
        masking_station, "mask_document", lambda *order: masked.append(1) or real(*order)
    )
    made = {}
    for kept in (True, False):
        folder = small_client(tmp_path / f"kept-{kept}")
        for recipe in ("client-copy", str(second)):
            masked.clear()
            assert ended(job_for(folder, recipe, keep_masked=kept)).ending is Ending.DONE
            made[kept, recipe] = len(masked), content_of(folder, recipe)
    assert [made[True, str(second)][0], made[False, str(second)][0]] == [0, 2]
    assert len({content for _, content in made.values()}) == 1


def test_a_packet_that_waits_for_a_person_is_done_and_stays_so_when_it_is_let_go(client, tmp_path):
    asking = tmp_path / "asking.toml"
    shipped = (ROOT / "recipes" / "client-copy.toml").read_text()
    asking.write_text(
        shipped.replace('name = "client-copy"', 'name = "asking"') + "\n[release]\nreview = true\n"
    )
    first = ended(job_for(client, str(asking)))
    assert first.ending is Ending.DONE
    record = read_record(client, "asking", batch_key(client))
    assert record.packets[0].path.startswith("to-review/")
    assert "packets review" in record.why[0]
    assert ended(job_for(client, str(asking), run="2" * 32)).ending is Ending.UNCHANGED
    waits, goes = client / record.packets[0].path, client / "outbound"
    release_waiting(client, waits.name, first.sha256[0], "P. Preparer", demand=lambda waiting: None)
    assert (goes / waits.name).is_file()
    assert ended(job_for(client, str(asking), run="3" * 32)).ending is Ending.UNCHANGED


def content_of(client, recipe):
    manifest = client / "outbound" / f"2025-0201-{Path(recipe).stem}.manifest.json"
    return json.loads(manifest.read_text())["content_sha256"]


def test_a_pipe_in_the_place_of_a_record_or_a_key_is_not_waited_for(client: Path) -> None:
    key = batch_key(client)
    (client / "batch").mkdir(exist_ok=True)
    os.mkfifo(client / "batch" / "asking.json")
    assert read_record(client, "asking", key) is None
    (client / "keys" / KEY_FILE).unlink()
    os.mkfifo(client / "keys" / KEY_FILE)
    batch_key(client)
    assert (client / "keys" / KEY_FILE).is_file()

"""What is kept of a client tells nobody anything, and after a crash the ledger decides."""

import json
import re
from concurrent.futures import ThreadPoolExecutor

import pytest
from batch_clients import CountedBuild, ended, job_for, record_of, released
from office_folders import put_pdf, small_client

from packets.base.files import file_sha256
from packets.batch.client_record import BEGUN
from packets.batch.records import Ending
from packets.sealing.ledger_chain import entries


def new_page(client):
    put_pdf(client / "documents" / "letter" / "second.pdf", ["Dear Ms Marsh,", "one more thing."])


class Crash(BaseException):
    """The process is gone: nothing catches this."""


def crash(_):
    raise Crash


def test_a_crash_between_the_release_and_its_record_builds_nothing_twice(client):
    with pytest.raises(Crash):
        ended(job_for(client), CountedBuild(after=[crash]))
    assert record_of(client).state == BEGUN
    build = CountedBuild()
    result = ended(job_for(client, run="2" * 32), build)
    assert (result.ending, build.asked) == (Ending.DONE, 0)
    (packet,) = released(client)
    assert result.sha256 == (file_sha256(client / "outbound" / packet),)
    assert "nothing was built twice" in record_of(client).why[0]
    assert ended(job_for(client, run="3" * 32), build).ending is Ending.UNCHANGED


def test_a_crash_before_the_release_loses_nothing(client):
    with pytest.raises(Crash):
        ended(job_for(client), CountedBuild(before=[crash]))
    assert ended(job_for(client, run="2" * 32)).ending is Ending.DONE
    assert len(released(client)) == 1


def test_what_was_released_before_a_change_is_not_taken_for_the_packet_that_is_wanted(client):
    with pytest.raises(Crash):
        ended(job_for(client), CountedBuild(after=[crash]))
    new_page(client)
    build = CountedBuild()
    assert ended(job_for(client, run="2" * 32), build).ending is Ending.DONE
    assert build.asked == 1
    assert len(released(client)) == 2


def test_a_client_that_changes_while_it_is_built_is_built_again_by_the_next_run(client):
    first = ended(job_for(client), CountedBuild(after=[lambda _: new_page(client)]))
    assert first.ending is Ending.DONE
    build = CountedBuild()
    assert ended(job_for(client, run="2" * 32), build).ending is Ending.DONE
    assert build.asked == 1


def test_nothing_that_is_kept_can_be_tried_against_numbers_without_the_key(client):
    """Neither the number nor the bare digest of it or of its file is anywhere in batch/."""
    file = client / "identifiers.toml"
    file.write_text('[[identifier]]\nkind = "ssn"\nvalue = "666-12-3456"\nholder = "taxpayer"\n')
    file.chmod(0o600)
    ended(job_for(client))
    assert (client / "batch").stat().st_mode & 0o777 == 0o700
    kept = [path for path in (client / "batch").rglob("*") if path.is_file()]
    assert len(kept) > 1
    assert all(path.stat().st_mode & 0o777 == 0o600 for path in kept)
    told = b"".join(path.name.encode() + path.read_bytes() for path in kept)
    assert file_sha256(client / "identifiers.toml").encode() not in told
    for number in (b"666-12-3456", b"666123456"):
        assert number not in told
    record = json.loads((client / "batch" / "client-copy.json").read_bytes().split(b"\n")[1])
    digests = set(re.findall("[0-9a-f]{64}", json.dumps(record)))
    packets = {sha256 for _, sha256 in record["packets"]}
    ledger = {entry.sha256 for entry in entries(client)}
    assert digests - packets - ledger == {record["fingerprint"]}


def test_two_clients_with_the_same_papers_have_different_fingerprints(tmp_path):
    prints = set()
    for name in ("a", "b"):
        folder = small_client(tmp_path / name)
        ended(job_for(folder))
        prints.add(record_of(folder).fingerprint)
    assert len(prints) == 2


def test_two_batches_that_meet_at_one_client_build_it_once(client):
    build = CountedBuild()
    with ThreadPoolExecutor(2) as both:
        results = list(both.map(lambda run: ended(job_for(client, run=run * 32), build), "12"))
    assert {result.ending for result in results} == {Ending.DONE, Ending.UNCHANGED}
    assert build.asked == 1
    assert len(released(client)) == 1

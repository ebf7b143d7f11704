"""Each version of a document is on record from the first build that met it."""

import datetime as dt
import tempfile
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from packets.sealing.ledger import Entry, append, entries, verify
from packets.sealing.source_versions import EVENT, SourceFile, note_sources, source_changes

AT = dt.datetime(2026, 3, 3, 12, tzinfo=dt.UTC)
ONE, TWO, THREE = "1" * 64, "2" * 64, "3" * 64
FOLDERS = st.dictionaries(st.sampled_from("abc"), st.sampled_from([ONE, TWO, THREE]), max_size=3)


def noted(folder: Path, *files: tuple[str, str]) -> dict[str, object] | None:
    entry = note_sources(folder, [SourceFile(*file) for file in files], at=AT)
    return entry.facts if entry else None


def test_a_document_is_first_seen_once(tmp_path: Path) -> None:
    line = {"file": "documents/a.pdf", "sha256": ONE, "version": 1}
    assert noted(tmp_path, ("documents/a.pdf", ONE)) == {"first_seen": [line]}
    assert noted(tmp_path, ("documents/a.pdf", ONE)) is None
    assert [(entry.event, entry.at) for entry in entries(tmp_path)] == [
        (EVENT, "2026-03-03T12:00:00Z")
    ]


def test_other_bytes_under_a_name_are_its_next_version(tmp_path: Path) -> None:
    noted(tmp_path, ("a", ONE))
    changed = {"file": "a", "sha256": TWO, "version": 2, "was_sha256": ONE}
    assert noted(tmp_path, ("a", TWO)) == {"changed": [changed]}
    back = {"file": "a", "sha256": ONE, "version": 3, "was_sha256": TWO}
    assert noted(tmp_path, ("a", ONE)) == {"changed": [back]}
    assert verify(tmp_path).lines == 3


def test_a_document_that_is_gone_and_comes_back_is_told_each_time(tmp_path: Path) -> None:
    noted(tmp_path, ("a", ONE), ("b", TWO))
    assert noted(tmp_path, ("a", ONE)) == {"gone": [{"file": "b", "sha256": TWO}]}
    again = {"file": "b", "sha256": THREE, "version": 2}
    assert noted(tmp_path, ("a", ONE), ("b", THREE)) == {"first_seen": [again]}


def test_names_that_differ_in_a_number_only_are_shown_alike_and_kept_apart(tmp_path: Path) -> None:
    files = ("000-11-3456.pdf", ONE), ("000-12-3456.pdf", TWO)
    facts = noted(tmp_path, *files)
    assert [(line["file"], line["version"]) for line in facts["first_seen"]] == [
        ("XXX-XX-3456.pdf", 1),
        ("XXX-XX-3456.pdf", 2),
    ]
    assert noted(tmp_path, *reversed(files)) is None
    changed = noted(tmp_path, files[0], ("000-12-3456.pdf", THREE))["changed"]
    assert [(line["sha256"], line["was_sha256"]) for line in changed] == [(THREE, TWO)]
    assert b"000-1" not in (tmp_path / "ledger.jsonl").read_bytes()


def test_lines_of_other_events_and_odd_ones_are_passed_over(tmp_path: Path) -> None:
    append(tmp_path, "released", {"first_seen": [{"file": "a", "sha256": ONE}]}, at=AT)
    append(tmp_path, EVENT, {"first_seen": "a", "changed": ["b", None]}, at=AT)
    assert noted(tmp_path, ("a", ONE)) is not None


@given(st.lists(FOLDERS, max_size=5))
def test_the_record_always_ends_in_the_folder_as_it_is(folders: list[dict[str, str]]) -> None:
    known: tuple[Entry, ...] = ()
    with tempfile.TemporaryDirectory() as name:
        for folder in folders:
            before = len(entries(Path(name)))
            facts = noted(Path(name), *folder.items())
            assert (facts is None) is (len(entries(Path(name))) == before)
            known = entries(Path(name))
            assert source_changes(known, [SourceFile(*file) for file in folder.items()]) == {}
        told = [line for entry in known for lines in entry.facts.values() for line in lines]
        first, *_ = folders or [{}]
        assert len(told) >= len(first)
        assert verify(Path(name)).sound

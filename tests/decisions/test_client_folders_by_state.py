"""Where each client folder stands, told by ledger and digests, those that need a person first."""

import dataclasses
import datetime as dt
import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from office_folders import put_pdf
from waiting_packets import ENGAGEMENT, FACTS, WHO, client_folder, sealed

from packets.base.errors import UsageError
from packets.decisions.client_rows import clients_under
from packets.decisions.desk import Desk
from packets.decisions.records import ClientRow, State
from packets.handover.input_files import input_files
from packets.intake.take_in import take_in
from packets.mailing.sendings import MAILED
from packets.recipe.shelf import find_recipe
from packets.sealing.ledger import append
from packets.sealing.records import PacketFacts, SourceLine
from packets.sealing.release import release
from packets.sealing.reviewed_release import hold_waiting, release_waiting
from packets.sealing.source_versions import SourceFile, note_sources

LETTER = "documents/letter.pdf"


def facts_now(client: Path, **changes: object) -> PacketFacts:
    """What a build of this moment would record."""
    sources = []
    if (client / LETTER).exists():
        document = take_in(client / LETTER, name=LETTER)
        sources.append(SourceLine(LETTER, document.sha256, 1, 1, ()))
    note_sources(client, [SourceFile(one.file, one.sha256) for one in sources])
    facts = dataclasses.replace(
        FACTS,
        sources=tuple(sources),
        inputs=input_files(client, None),
        recipe_sha256=find_recipe("client-copy").sha256,
        built_at=dt.datetime.now(dt.UTC) + dt.timedelta(seconds=2),
    )
    return dataclasses.replace(facts, **changes)


def out(client: Path, folder: str, **changes: object) -> tuple[str, str]:
    facts = facts_now(client, review=False, **changes)
    done = release(client, client / folder, facts, sealed(folder), keep_passphrase=True)
    return done.packet.name, done.sha256


def nothing_built(_: Path) -> None: ...


def waits(client: Path) -> tuple[str, str]:
    facts = facts_now(client)
    done = release(client, client / "to-review", facts, sealed(), keep_passphrase=True)
    return done.packet.name, done.sha256


def held_by_the_build(client: Path) -> None:
    waits(client)
    append(client, "held", {"recipe": "client-copy", "reasons": ["one page", "another"]})


def held_by_a_person(client: Path) -> None:
    hold_waiting(client, *waits(client), WHO, "page two")


def changed(client: Path) -> None:
    put_pdf(client / LETTER, ["one"])
    waits(client)
    later = put_pdf(client / LETTER, ["another"]).stat().st_mtime + 60
    os.utime(client / LETTER, (later, later))


def released(client: Path) -> None:
    release_waiting(client, *waits(client), WHO, demand=lambda _: None)


def sent(client: Path) -> None:
    packet, sha256 = out(client, "outbound")
    append(client, MAILED, {"packet": packet, "sha256": sha256, "to": ["a@example.com"]})


def office(client: Path) -> None:
    given = "office-copy"
    sha256 = find_recipe(given).sha256
    asked = {"recipe_name": given, "recipe_given": given, "recipe_sha256": sha256}
    out(client, "office", verdict="not asked", **asked)


def unreadable(client: Path) -> None:
    (client / "engagement.toml").write_text("[engagement]\nid = 5\n")


STATES: dict[State, Callable[[Path], object]] = {
    State.UNREADABLE: unreadable,
    State.HELD: held_by_a_person,
    State.CHANGED: changed,
    State.TO_REVIEW: waits,
    State.RELEASED: released,
    State.NOTHING_BUILT: nothing_built,
    State.BUILT: office,
    State.SENT: sent,
}


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("clients")
    for place, (state, make) in enumerate(reversed(STATES.items())):
        client = client_folder(folder / f"{place}-{state.name.lower()}")
        make(client)
    return folder


def test_every_state_has_a_folder_here() -> None:
    assert list(STATES) == list(State)


def test_folders_come_in_the_order_in_which_they_need_a_person(root: Path) -> None:
    rows = clients_under(root)
    assert [row.state for row in rows] == list(State)
    assert [row.name for row in rows] == [
        f"{len(State) - 1 - place}-{state.name.lower()}/client" for place, state in enumerate(State)
    ]


def test_a_row_says_who_and_what_it_is(root: Path) -> None:
    row = next(row for row in clients_under(root) if row.state is State.TO_REVIEW)
    assert (row.engagement_id, row.household, row.tax_year) == ("2025-0201", "Ottilie Marsh", 2025)
    assert row.recipe == "client-copy"
    assert row.when.endswith("Z")
    assert row.recipes[0].packet == "2025-0201-client-copy.pdf"


@pytest.mark.parametrize(
    ("state", "words"),
    [
        (State.HELD, f"{WHO}: page two"),
        (State.CHANGED, "documents were added, changed or taken away since the build"),
        (State.SENT, "was sent to a@example.com"),
    ],
)
def test_a_row_says_why(root: Path, state: State, words: str) -> None:
    row = next(row for row in clients_under(root) if row.state is state)
    assert words in row.note


def test_a_fault_of_one_folder_is_told_in_its_row(root: Path) -> None:
    row = clients_under(root)[0]
    assert row.state is State.UNREADABLE
    assert "engagement.id" in row.note


def test_the_last_build_counts(tmp_path: Path) -> None:
    client = client_folder(tmp_path)
    held_by_the_build(client)
    (row,) = clients_under(client)
    assert (row.name, row.state) == (".", State.HELD)
    assert row.note == "one page (and 1 more)"
    waits(client)
    (row,) = clients_under(client)
    assert row.state is State.TO_REVIEW


def test_of_two_recipes_the_more_pressing_one_gives_the_row_its_state(tmp_path: Path) -> None:
    client = client_folder(tmp_path)
    office(client)
    append(client, "held", {"recipe": "lender-copy", "reasons": ["no consent"]})
    (row,) = clients_under(client)
    assert (row.state, row.recipe) == (State.HELD, "lender-copy")
    assert [one.state for one in row.recipes] == [State.HELD, State.BUILT]


def test_no_document_is_read_where_nothing_was_written_since(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    client = client_folder(tmp_path)
    put_pdf(client / LETTER, ["one"])
    waits(client)

    def read(path: Path) -> str:
        raise AssertionError(path)

    monkeypatch.setattr("packets.decisions.changes.file_sha256", read)
    (row,) = clients_under(client)
    assert row.state is State.TO_REVIEW
    put_pdf(client / "documents" / "second.pdf", ["two"])
    with pytest.raises(AssertionError):
        clients_under(client)


def test_a_folder_copied_elsewhere_is_the_same_by_its_digests(tmp_path: Path) -> None:
    client = client_folder(tmp_path)
    put_pdf(client / LETTER, ["one"])
    waits(client)
    copy = tmp_path / "elsewhere" / "client"
    shutil.copytree(client, copy)
    assert [row.state for row in clients_under(copy)] == [State.TO_REVIEW]


def test_a_ledger_that_was_altered_makes_a_folder_unreadable(tmp_path: Path) -> None:
    client = client_folder(tmp_path)
    waits(client)
    ledger = client / "ledger.jsonl"
    ledger.write_bytes(ledger.read_bytes().replace(b"prepared", b"prepaied"))
    assert [row.state for row in clients_under(client)] == [State.UNREADABLE]


def test_links_out_of_the_root_and_hidden_folders_are_not_entered(tmp_path: Path) -> None:
    outside = client_folder(tmp_path / "outside")
    root = tmp_path / "root"
    (root / ".hidden" / "client").mkdir(parents=True)
    (root / ".hidden" / "client" / "engagement.toml").write_text(ENGAGEMENT)
    (root / "link").symlink_to(outside)
    assert clients_under(root) == ()


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(UsageError):
        Desk().clients(tmp_path / "nowhere")


def test_a_household_never_shows_a_number(tmp_path: Path) -> None:
    client = client_folder(tmp_path)
    path = client / "engagement.toml"
    path.write_text(path.read_text().replace("Ottilie Marsh", "Marsh 666-12-3456", 1))
    (row,) = clients_under(client)
    assert isinstance(row, ClientRow)
    assert "666-12-3456" not in repr(row)

"""Only the very packet that a person looked at goes out, and only while it is up to date."""

import dataclasses
import json
import os
from pathlib import Path

import pytest
from office_folders import put_pdf
from review_folders import built, copied, office_root
from waiting_packets import FACTS, WHO, client_folder, events, sealed, wait

from packets.base.canonical import checksum_of
from packets.base.errors import Held, InputRefused, OurFault, PacketsError, UsageError
from packets.base.files import file_sha256
from packets.decisions.desk import Desk
from packets.decisions.records import ReviewCase, State
from packets.mailing.prepare import prepare_mail
from packets.mailing.records import MailOrder
from packets.sealing.ledger_chain import entries
from packets.sealing.manifest import manifest_path
from packets.sealing.release import release
from packets.sealing.reviewed_release import release_waiting

DESK = Desk()
NUMBER = "666-12-3456"


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = office_root(tmp_path_factory.mktemp("office"))
    assert built(folder).waits
    return folder


@pytest.fixture
def client(root: Path, tmp_path: Path) -> Path:
    return copied(root, tmp_path / "copy")


@pytest.fixture
def case(client: Path) -> ReviewCase:
    return DESK.case(client)


def let_out(case: ReviewCase, **other: str) -> Path:
    assert case.packet is not None
    named = {"packet": case.packet.name, "sha256": case.packet.sha256, "who": WHO, **other}
    return DESK.release(case.client, **named).packet


def outbound(client: Path) -> list[str]:
    return sorted(path.name for path in (client / "outbound").glob("*"))


def test_a_release_moves_the_very_bytes_with_all_that_belongs_to_them(case: ReviewCase) -> None:
    assert case.packet is not None
    manifest = manifest_path(case.packet.path).read_bytes()
    packet = let_out(case)
    assert packet == case.client / "outbound" / case.packet.name
    assert packet.read_bytes() == case.packet.pdf
    assert manifest_path(packet).read_bytes() == manifest
    assert f"{case.packet.sha256}  {packet.name}" in (packet.parent / "SHA256SUMS").read_text()
    assert list((case.client / "to-review").iterdir()) == []
    assert (case.client / "keys" / f"{packet.name}.txt").is_file()


def test_a_decision_is_a_line_with_who_when_and_the_hash(case: ReviewCase) -> None:
    assert case.packet is not None
    let_out(case, who="  P.  Preparer ")
    line = next(entry for entry in entries(case.client) if entry.event == "reviewed")
    assert line.facts == {
        "packet": case.packet.name,
        "sha256": case.packet.sha256,
        "recipe": "client-copy",
        "who": WHO,
        "decision": "released",
    }
    assert line.at.endswith("Z")
    assert events(case.client, case.packet.name)[-3:] == ["reviewed", "prepared", "released"]


def test_another_hash_is_refused(case: ReviewCase) -> None:
    with pytest.raises(Held, match="not the packet that waits"):
        let_out(case, sha256="0" * 64)
    assert outbound(case.client) == []


def test_a_packet_is_released_once(case: ReviewCase) -> None:
    let_out(case)
    with pytest.raises(Held, match="released already"):
        let_out(case)


def test_a_packet_that_was_touched_is_refused(case: ReviewCase) -> None:
    assert case.packet is not None
    case.packet.path.write_bytes(case.packet.pdf + b"\n")
    with pytest.raises(Held, match="not the file that its manifest describes"):
        let_out(case)


def test_a_manifest_written_anew_is_refused(case: ReviewCase) -> None:
    assert case.packet is not None
    path = manifest_path(case.packet.path)
    record = json.loads(path.read_bytes())
    record["pages"] += 1
    record["checksum"] = checksum_of({k: v for k, v in record.items() if k != "checksum"})
    path.write_text(json.dumps(record, ensure_ascii=False, indent=2) + "\n")
    with pytest.raises(Held, match="not the one that the ledger recorded"):
        let_out(case)


def _engagement(client: Path) -> None:
    path = client / "engagement.toml"
    path.write_text(path.read_text() + "# a remark\n")


def _document(client: Path) -> None:
    put_pdf(client / "documents" / "letter" / "letter.pdf", ["Dear Ms Marsh,", "another letter"])


def _more(client: Path) -> None:
    put_pdf(client / "documents" / "letter" / "second.pdf", ["Dear Ms Marsh,", "one more"])


def _fewer(client: Path) -> None:
    (client / "documents" / "letter" / "letter.pdf").unlink()


def _grants(client: Path) -> None:
    (client / "signatures").mkdir()
    (client / "signatures" / "grants.toml").write_text("# none\n")


def _identifiers(client: Path) -> None:
    path = client / "identifiers.toml"
    path.write_text('[[identifier]]\nkind = "account"\nvalue = "000000000000"\n')
    path.chmod(0o600)


CHANGES = [_engagement, _document, _more, _fewer, _grants, _identifiers]


@pytest.mark.parametrize("change", CHANGES)
def test_a_packet_is_out_of_date_once_anything_changed(case: ReviewCase, change: object) -> None:
    assert case.stale == ()
    change(case.client)  # type: ignore[operator] - one of the list above
    assert DESK.case(case.client).stale
    assert DESK.clients(case.client)[0].state is State.CHANGED
    with pytest.raises(Held, match="out of date"):
        let_out(case)
    assert outbound(case.client) == []
    assert "reviewed" not in [entry.event for entry in entries(case.client)]


def test_a_document_changed_behind_the_clocks_back_is_seen_before_a_release(
    case: ReviewCase,
) -> None:
    letter = case.client / "documents" / "letter" / "letter.pdf"
    times = letter.stat()
    _document(case.client)
    os.utime(letter, ns=(times.st_atime_ns, times.st_mtime_ns))
    with pytest.raises(Held, match="documents were"):
        let_out(case)


def test_a_recipe_that_changed_makes_a_packet_out_of_date(tmp_path: Path) -> None:
    folder = office_root(tmp_path / "office")
    assert built(folder).waits
    case = DESK.case(folder / "client")
    recipe = folder / "looked-at.toml"
    recipe.write_text(recipe.read_text() + "# a remark\n")
    with pytest.raises(Held, match="the recipe is not"):
        let_out(case)


@pytest.mark.parametrize("who", ["", "   ", NUMBER, "a" * 81, "one\x00two"])
def test_a_decision_needs_a_name(case: ReviewCase, who: str) -> None:
    with pytest.raises(UsageError):
        let_out(case, who=who)
    assert outbound(case.client) == []


def test_a_hold_keeps_the_packet_and_shows_its_note(case: ReviewCase) -> None:
    assert case.packet is not None
    DESK.hold(case.client, case.packet.name, case.packet.sha256, WHO, "page two is upside down")
    after = DESK.case(case.client)
    assert after.state is State.HELD
    assert "page two is upside down" in after.holds[0].words
    assert after.holds[0].remedy
    assert [(one.who, one.what) for one in after.decisions] == [(WHO, "held")]
    assert file_sha256(case.packet.path) == case.packet.sha256
    assert outbound(case.client) == []


def test_a_held_packet_may_be_released_after_all(case: ReviewCase) -> None:
    assert case.packet is not None
    DESK.hold(case.client, case.packet.name, case.packet.sha256, WHO, "a question")
    let_out(case)
    assert DESK.clients(case.client)[0].state is State.RELEASED


@pytest.mark.parametrize("note", ["", NUMBER, f"it shows {NUMBER}", "123456789", "a" * 501])
def test_a_note_says_something_and_holds_no_number(case: ReviewCase, note: str) -> None:
    assert case.packet is not None
    before = len(entries(case.client))
    with pytest.raises(UsageError) as refused:
        DESK.hold(case.client, case.packet.name, case.packet.sha256, WHO, note)
    assert NUMBER not in repr(refused.value) + str(refused.value) + refused.value.remedy
    assert len(entries(case.client)) == before


def test_a_hold_of_another_hash_is_refused(case: ReviewCase) -> None:
    assert case.packet is not None
    with pytest.raises(Held):
        DESK.hold(case.client, case.packet.name, "0" * 64, WHO, "a note")


def test_mail_refuses_what_waits_and_sends_what_was_released(case: ReviewCase) -> None:
    assert case.packet is not None
    recipe = str(Path(case.given))
    with pytest.raises(Held, match="waits for a person") as refused:
        prepare_mail(MailOrder(case.packet.path, client=case.client, recipe=recipe))
    assert "packets review" in refused.value.remedy
    packet = let_out(case)
    prepared = prepare_mail(MailOrder(packet, client=case.client, recipe=recipe))
    assert prepared.released.sha256 == case.packet.sha256


def test_mail_refuses_what_was_released_past_the_person_whom_the_recipe_asks_for(
    case: ReviewCase,
) -> None:
    """Released by the same recipe while it did not ask; today it does."""
    client = case.client
    facts = dataclasses.replace(FACTS, review=False)
    packet = sealed("released without a look")
    out = release(client, client / "outbound", facts, packet, keep_passphrase=True).packet
    with pytest.raises(Held, match="nobody has released it"):
        prepare_mail(MailOrder(out, client=client, recipe=case.given))


@pytest.mark.parametrize(
    "changes",
    [{"proof": ()}, {"proof": tuple(dataclasses.replace(p, found=False) for p in FACTS.proof)}],
)
def test_a_packet_that_was_not_proved_is_not_released(
    tmp_path: Path, changes: dict[str, object]
) -> None:
    client = client_folder(tmp_path)
    waits = wait(client, **changes)
    with pytest.raises(Held, match="never proved"):
        release_waiting(client, waits.packet.name, waits.sha256, WHO, demand=lambda _: None)


@pytest.mark.parametrize("changes", [{"verdict": "held"}, {"review": False}])
def test_what_is_not_clean_or_not_to_wait_gets_not_among_what_waits(
    tmp_path: Path, changes: dict[str, object]
) -> None:
    with pytest.raises(OurFault):
        wait(client_folder(tmp_path), **changes)


def test_a_packet_that_is_to_wait_gets_nowhere_else(tmp_path: Path) -> None:
    client = client_folder(tmp_path)
    with pytest.raises(OurFault):
        release(client, client / "outbound", FACTS, sealed(), keep_passphrase=True)


def test_a_build_of_which_nothing_is_recorded_cannot_be_called_up_to_date(tmp_path: Path) -> None:
    client = client_folder(tmp_path)
    waits = wait(client)
    with pytest.raises(Held, match="did not record"):
        DESK.release(client, waits.packet.name, waits.sha256, WHO)


def test_nothing_is_decided_over_a_broken_ledger(case: ReviewCase) -> None:
    ledger = case.client / "ledger.jsonl"
    ledger.write_bytes(ledger.read_bytes().replace(b"waits", b"waitz", 1))
    for decide in (lambda: let_out(case), lambda: DESK.case(case.client)):
        with pytest.raises(InputRefused):
            decide()
    assert DESK.clients(case.client)[0].state is State.UNREADABLE


def test_a_name_of_a_packet_leads_to_no_other_folder(case: ReviewCase) -> None:
    for name in ("../engagement.toml", "/etc/passwd", "..", ""):
        with pytest.raises(PacketsError):
            let_out(case, packet=name)

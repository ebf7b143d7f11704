"""A case holds all that a person needs before a decision, and nothing that may not be shown."""

import pickle
import shutil
from pathlib import Path

import pytest
from office_folders import SMALL_SSN, sample_copy, small_client
from review_folders import built, copied, office_root, review_recipe

from packets.base.errors import Damaged, InputRefused, UsageError
from packets.decisions.desk import Desk
from packets.decisions.packet_rows import PartRow, SourceRow
from packets.decisions.records import Origin, ReviewCase, ReviewDesk, State
from packets.intake.titles import known_categories
from packets.pipeline import build
from packets.pipeline_records import BuildRequest
from packets.sealing.manifest import manifest_path, read_manifest

DESK: ReviewDesk = Desk()
LETTER, RETURN = "documents/letter/letter.pdf", "documents/form-1040/return.pdf"


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = office_root(tmp_path_factory.mktemp("office"))
    assert built(folder).waits
    return folder


@pytest.fixture
def case(root: Path, tmp_path: Path) -> ReviewCase:
    return DESK.case(copied(root, tmp_path / "copy"))


def test_it_says_who_the_packet_is_for_and_what_it_is(case: ReviewCase) -> None:
    assert (case.household, case.engagement_id, case.tax_year) == (
        "Ottilie Marsh",
        "2025-0201",
        2025,
    )
    assert (case.title, case.audience) == ("Your 2025 income tax return", "client")
    assert case.state is State.TO_REVIEW


def test_the_sealed_bytes_come_with_what_opens_them(case: ReviewCase) -> None:
    packet = case.packet
    assert packet is not None
    assert packet.path.read_bytes() == packet.pdf
    assert packet.passphrase is not None
    kept = (case.client / "keys" / f"{packet.name}.txt").read_text().strip()
    assert packet.passphrase.reveal() == kept
    assert kept not in repr(case)
    assert SMALL_SSN not in repr(case)


def test_every_page_says_where_it_comes_from(case: ReviewCase) -> None:
    assert case.parts == (PartRow("Letter and invoice", 2, 2), PartRow("Federal return", 4, 3))
    assert case.origins == (
        None,
        None,
        Origin(LETTER, 1),
        None,
        Origin(RETURN, 1),
        Origin(RETURN, 2),
    )
    assert case.sources == (SourceRow(RETURN, 2), SourceRow(LETTER, 1))


def test_marks_say_what_is_shown_where(case: ReviewCase) -> None:
    (mark,) = case.marks
    assert (mark.what, mark.page) == ("masked", 5)
    assert mark.words == "Social Security number, shows XXX-XX-3456"
    assert 72 < mark.box.x0 < mark.box.x1 < 540
    assert 80 < mark.box.y0 < mark.box.y1 < 120


def test_lines_without_a_signature_are_named(case: ReviewCase) -> None:
    (line,) = case.open_lines
    assert (line.role, line.file, line.page) == ("taxpayer", RETURN, 2)
    assert line.why


def test_the_check_and_its_proof_are_told(case: ReviewCase) -> None:
    assert case.check.verdict == "clean"
    assert {"page text", "pixels"} <= {reader.name for reader in case.check.readers}
    assert case.check.planted
    assert all(found for _, found in case.check.planted)


def test_a_case_is_found_by_name_by_path_and_by_nothing(case: ReviewCase) -> None:
    for recipe in ("client-copy", case.given, None):
        assert DESK.case(case.client, recipe).packet == case.packet
    with pytest.raises(UsageError, match="by this recipe"):
        DESK.case(case.client, "lender-copy")


def test_where_nothing_was_built_that_is_said(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="nothing was built here"):
        DESK.case(small_client(tmp_path / "client"))
    with pytest.raises(UsageError, match="no client folder"):
        DESK.case(tmp_path)


def test_a_packet_that_is_gone_or_was_touched_is_not_shown(case: ReviewCase) -> None:
    assert case.packet is not None
    case.packet.path.write_bytes(b"another")
    with pytest.raises(InputRefused, match="not the file that the ledger recorded"):
        DESK.case(case.client)
    case.packet.path.unlink()
    with pytest.raises(InputRefused, match="not where the ledger says"):
        DESK.case(case.client)


def test_an_altered_manifest_is_not_believed(case: ReviewCase) -> None:
    assert case.packet is not None
    path = manifest_path(case.packet.path)
    path.write_bytes(path.read_bytes().replace(b"clean", b"clear"))
    with pytest.raises(Damaged):
        DESK.case(case.client)


def test_a_packet_that_was_released_can_still_be_looked_at(case: ReviewCase) -> None:
    assert case.packet is not None
    DESK.release(case.client, case.packet.name, case.packet.sha256, "P. Preparer")
    after = DESK.case(case.client)
    assert after.state is State.RELEASED
    assert after.packet is not None
    assert after.packet.pdf == case.packet.pdf
    assert after.origins == case.origins


def test_a_packet_without_a_review_can_be_looked_at_too(tmp_path: Path) -> None:
    client = small_client(tmp_path / "client")
    assert build(BuildRequest(client, "client-copy")).released
    case = DESK.case(client)
    assert (case.state, case.given) == (State.RELEASED, "client-copy")
    assert case.marks
    assert set(case.origins) == {None}


def test_a_signed_form_says_what_was_signed_and_what_stays_out(tmp_path: Path) -> None:
    client = sample_copy("single-filer", tmp_path / "client")
    for name in ("2025-tax-return.pdf", "w-2"):  # the form and two letters are enough
        path = client / "documents" / name
        shutil.rmtree(path) if path.is_dir() else path.unlink()
    recipe = review_recipe(tmp_path)
    recipe.write_text(recipe.read_text().replace("required", "# required"))
    report = build(BuildRequest(client, str(recipe)))
    assert report.waits, report.held
    case = DESK.case(client)
    signed = [mark for mark in case.marks if mark.what == "signed"]
    assert len(signed) == len(report.facts.signatures) > 0
    assert len(case.marks) == len(report.facts.masks) + len(signed)
    used = sum(origin is not None for origin in case.origins)
    left = sum(len(out.pages) for out in case.left_out)
    assert used + left == sum(source.pages for source in case.sources)
    assert used == len(report.plan.pages)
    assert case.packet is not None
    assert (
        case.packet.pages
        == len(case.origins)
        == read_manifest(manifest_path(case.packet.path))["pages"]
    )


def test_the_desk_travels_to_another_process(tmp_path: Path) -> None:
    desk = Desk(tmp_path / "office.toml", tmp_path / "key.txt")
    assert pickle.loads(pickle.dumps(desk)) == desk
    assert desk.categories() == tuple(sorted(known_categories()))

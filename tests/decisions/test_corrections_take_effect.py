"""What a person corrects is in the next packet, in its manifest, and in the ledger."""

import io
import stat
from collections.abc import Iterator
from pathlib import Path

import pikepdf
import pypdfium2
import pytest
from office_folders import put_pdf
from review_folders import built, copied, office_root
from waiting_packets import WHO

from packets.base.canonical import sha256_hex
from packets.base.errors import FileFaults, Held, PacketsError, UsageError
from packets.base.geometry import Box
from packets.base.progress import silent
from packets.decisions.desk import Desk
from packets.decisions.records import (
    BlankRegion,
    Correction,
    LeaveOut,
    Origin,
    PageCategory,
    ReviewCase,
    State,
)
from packets.pipeline import build, plan
from packets.pipeline_records import BuildRequest
from packets.sealing.ledger_chain import entries

DESK = Desk()
LETTER, RETURN = "documents/letter/letter.pdf", "documents/form-1040/return.pdf"
TOTAL_TAX = Box(68, 80, 200, 112)
"""Both lines of the second page of the return."""


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = office_root(tmp_path_factory.mktemp("office"))
    assert built(folder).waits
    return folder


@pytest.fixture
def case(root: Path, tmp_path: Path) -> ReviewCase:
    return DESK.case(copied(root, tmp_path / "copy"))


def correct(case: ReviewCase, *corrections: Correction, who: str = WHO) -> str:
    return DESK.correct(
        case.client,
        corrections,
        who,
        engagement_sha256=case.engagement_sha256,
        packet_sha256=case.packet.sha256 if case.packet else "",
    )


def rebuilt(case: ReviewCase, *corrections: Correction) -> ReviewCase:
    correct(case, *corrections)
    report = DESK.rebuild(case.client, case.given, silent)
    assert report.held == ()
    return DESK.case(case.client)


def texts(case: ReviewCase) -> Iterator[str]:
    assert case.packet is not None
    assert case.packet.passphrase is not None
    document = pypdfium2.PdfDocument(case.packet.pdf, password=case.packet.passphrase.reveal())
    try:
        for page in document:
            yield page.get_textpage().get_text_range()
    finally:
        document.close()


def test_a_page_that_is_left_out_is_named_with_its_reason(case: ReviewCase) -> None:
    after = rebuilt(case, LeaveOut(LETTER, (1,), "sent by itself"))
    assert [(out.file, out.pages) for out in after.left_out] == [(LETTER, (1,))]
    assert "sent by itself" in after.left_out[0].why
    assert not any("we enclose" in text for text in texts(after))
    assert Origin(LETTER, 1) not in after.origins
    _, chosen = plan(case.client, case.given)
    assert ["sent by itself" in out.why for out in chosen.left_out] == [True]


def test_an_office_copy_keeps_every_page_and_region(case: ReviewCase) -> None:
    correct(
        case,
        LeaveOut(LETTER, (1,), "sent by itself"),
        BlankRegion(RETURN, 2, TOTAL_TAX, "a remark"),
    )
    report = build(BuildRequest(case.client, "office-copy"))
    assert report.released is not None
    key = report.released.key_file
    assert key is not None
    with pikepdf.open(report.released.packet, password=key.read_text().strip()) as pdf:
        target = io.BytesIO()
        pdf.save(target, encryption=False)
    document = pypdfium2.PdfDocument(target.getvalue())
    whole = "".join(page.get_textpage().get_text_range() for page in document)
    document.close()
    assert "we enclose" in whole
    assert "Total tax" in whole


def test_a_region_is_gone_from_the_packet_and_listed_with_the_masks(case: ReviewCase) -> None:
    assert any("Total tax" in text for text in texts(case))
    after = rebuilt(case, BlankRegion(RETURN, 2, TOTAL_TAX, "a remark by hand"))
    assert not any("Total tax" in text for text in texts(after))
    page = after.origins.index(Origin(RETURN, 2)) + 1
    marks = [mark for mark in after.marks if mark.what == "blanked"]
    assert [(mark.page, mark.box) for mark in marks] == [(page, TOTAL_TAX)]
    assert after.manifest is not None
    assert {"kind": "region", "shown": "", "page": page, "place": [68, 80, 200, 112]} in (
        after.manifest["masks"]
    )


def test_a_number_in_a_region_is_hunted_elsewhere_all_the_same(case: ReviewCase) -> None:
    """The label that tells it stands in the region; elsewhere the account stands bare."""
    client = case.client
    put_pdf(client / "documents" / "letter" / "more.pdf", ["Account number 000123454321"])
    put_pdf(client / "documents" / "letter" / "rest.pdf", ["about 000123454321 we write"])
    assert built_again(client, case).held == ()
    fresh = DESK.case(client)
    after = rebuilt(
        fresh, BlankRegion("documents/letter/more.pdf", 1, Box(60, 70, 400, 110), "a slip")
    )
    assert not any("000123454321" in text for text in texts(after))


def built_again(client: Path, case: ReviewCase) -> object:
    return build(BuildRequest(client, case.given))


def test_a_page_of_another_category_goes_where_that_belongs(case: ReviewCase) -> None:
    after = rebuilt(case, PageCategory(LETTER, (1,), "form-8867"))
    assert [part.heading for part in after.parts] == ["Federal return"]
    assert [(out.file, out.pages) for out in after.left_out] == [(LETTER, (1,))]


def test_a_build_that_was_held_for_an_unknown_page_goes_on_once_it_is_named(
    case: ReviewCase,
) -> None:
    put_pdf(case.client / "documents" / "riddle.pdf", ["a page that nobody knows"])
    build(BuildRequest(case.client, case.given))
    held = DESK.case(case.client)
    assert held.state is State.HELD
    assert held.packet is None
    assert [(one.origin, bool(one.remedy)) for one in held.holds] == [
        (Origin("documents/riddle.pdf", 1), True)
    ]
    assert "documents/riddle.pdf" in [one.file for one in held.sources]
    after = rebuilt(held, PageCategory("documents/riddle.pdf", (1,), "letter"))
    assert after.state is State.TO_REVIEW
    assert Origin("documents/riddle.pdf", 1) in after.origins


def test_a_correction_is_a_line_with_both_versions_of_the_file(case: ReviewCase) -> None:
    path = case.client / "engagement.toml"
    path.chmod(0o640)
    before = path.read_bytes()
    now = correct(case, LeaveOut(LETTER, (1,), "twice"))
    line = entries(case.client)[-1]
    assert line.event == "corrected"
    assert case.packet is not None
    assert line.facts == {
        "who": WHO,
        "file": "engagement.toml",
        "what": [f"{LETTER}, page 1: left out, twice"],
        "was_sha256": sha256_hex(before),
        "sha256": now,
        "packet_sha256": case.packet.sha256,
    }
    assert now == sha256_hex(path.read_bytes())
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    assert DESK.case(case.client).decisions[-1].note == f"{LETTER}, page 1: left out, twice"


def test_a_corrected_packet_cannot_be_released_before_it_is_built_anew(case: ReviewCase) -> None:
    correct(case, LeaveOut(LETTER, (1,), "twice"))
    after = DESK.case(case.client)
    assert after.state is State.CHANGED
    assert after.packet is not None
    with pytest.raises(Held, match="out of date"):
        DESK.release(case.client, after.packet.name, after.packet.sha256, WHO)


def test_a_second_window_writes_nothing_over_the_first(case: ReviewCase) -> None:
    correct(case, LeaveOut(LETTER, (1,), "twice"))
    before = (case.client / "engagement.toml").read_bytes()
    with pytest.raises(Held, match="changed in the meantime"):
        correct(case, PageCategory(LETTER, (1,), "w-2"))
    assert (case.client / "engagement.toml").read_bytes() == before


def test_a_file_that_was_changed_since_the_build_is_not_corrected(case: ReviewCase) -> None:
    put_pdf(case.client / LETTER, ["Dear Ms Marsh,", "another one"])
    with pytest.raises(Held, match="changed since the build"):
        correct(case, BlankRegion(LETTER, 1, TOTAL_TAX, "a remark"))


def test_a_region_of_another_version_of_the_file_stops_the_build(case: ReviewCase) -> None:
    correct(case, BlankRegion(LETTER, 1, TOTAL_TAX, "a remark"))
    put_pdf(case.client / LETTER, ["Dear Ms Marsh,", "another one"])
    with pytest.raises(FileFaults, match="another version of the file"):
        build(BuildRequest(case.client, case.given))


WRONG = [
    LeaveOut("documents/none.pdf", (1,), "twice"),
    LeaveOut("../../etc/passwd", (1,), "twice"),
    LeaveOut(LETTER, (2,), "twice"),
    LeaveOut(LETTER, (), "twice"),
    LeaveOut(LETTER, (0,), "twice"),
    LeaveOut(LETTER, (1,), ""),
    LeaveOut(LETTER, (1,), "the number 666-12-3456"),
    PageCategory(LETTER, (1,), "no-such-thing"),
    PageCategory(LETTER, (1,), "../w-2"),
    BlankRegion(LETTER, 2, TOTAL_TAX, "a remark"),
    BlankRegion(LETTER, 1, Box(10, 10, 10, 20), "a remark"),
    BlankRegion(LETTER, 1, Box(10, 10, float("nan"), 20), "a remark"),
    BlankRegion(LETTER, 1, Box(-5, 10, 20, 20), "a remark"),
]


@pytest.mark.parametrize("wrong", WRONG, ids=lambda one: type(one).__name__)
def test_a_wrong_correction_writes_nothing(case: ReviewCase, wrong: Correction) -> None:
    path = case.client / "engagement.toml"
    before, lines = path.read_bytes(), len(entries(case.client))
    with pytest.raises(PacketsError) as refused:
        correct(case, LeaveOut(LETTER, (1,), "twice"), wrong)
    assert "666-12-3456" not in str(refused.value)
    assert path.read_bytes() == before
    assert len(entries(case.client)) == lines


def test_a_correction_needs_a_name_and_something_to_correct(case: ReviewCase) -> None:
    with pytest.raises(UsageError):
        correct(case, LeaveOut(LETTER, (1,), "twice"), who=" ")
    with pytest.raises(UsageError):
        correct(case)


def test_faults_of_corrections_are_told_all_at_once_with_their_lines(case: ReviewCase) -> None:
    path = case.client / "engagement.toml"
    start = len(path.read_text().splitlines())
    path.write_text(
        path.read_text()
        + '[[leave_out]]\nfile = "documents/nothing.pdf"\nwhy = "twice"\n'
        + f'[[blank]]\nfile = "{LETTER}"\npage = 4\nbox = [1, 2, 3, 4]\nwhy = "a note"\n'
        + f'[[not_a_number]]\nfile = "{LETTER}"\npage = 1\nbox = [9, 2, 3, 4]\nwhy = "x"\n'
        + f'sha256 = "{"0" * 64}"\n'
    )
    with pytest.raises(FileFaults) as refused:
        plan(case.client, case.given)
    assert [fault.where for fault in refused.value.faults] == [
        f"line {start + 12}, not_a_number[0].box"
    ]
    path.write_text(path.read_text().replace("[9, 2, 3, 4]", "[1, 2, 3, 4]"))
    with pytest.raises(FileFaults) as refused:
        plan(case.client, case.given)
    assert [fault.where for fault in refused.value.faults] == [
        f"line {start + 2}, leave_out[0].file",
        f"line {start + 6}, blank[0].page",
        f"line {start + 14}, not_a_number[0].sha256",
    ]

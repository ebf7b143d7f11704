"""Only what a person has named is let through, bound to its place, page and version of the file."""

import dataclasses
import io
import shutil
from pathlib import Path

import pikepdf
import pypdfium2
import pytest
from office_folders import SMALL_SSN, put_pdf, small_client
from waiting_packets import WHO

from packets.base.errors import FileFaults
from packets.base.geometry import Box
from packets.base.secret import Secret
from packets.decisions.desk import Desk
from packets.decisions.records import NotANumber
from packets.handover.exception_check import exception_holds
from packets.handover.exceptions import Excepted
from packets.identifiers.kinds import MaskPolicy
from packets.outbound.check import check_pdf
from packets.outbound.records import Judgement
from packets.pipeline import build
from packets.pipeline_records import BuildReport, BuildRequest
from packets.sealing.ledger_chain import entries
from packets.sealing.manifest import read_manifest
from packets.sealing.records import ALGORITHM, REVISION, SealedPacket

PART = "666-41-7788"
LETTER = "documents/letter/letter.pdf"
LINES = ["Dear Ms Marsh,", f"the spare part {PART} was ordered for you.", "Sincerely"]
DESK = Desk()


def client_with(root: Path, *lines: str) -> Path:
    client = small_client(root / "client")
    put_pdf(client / LETTER, list(lines or LINES))
    return client


def built(client: Path) -> BuildReport:
    return build(BuildRequest(client, "client-copy"))


@pytest.fixture(scope="module")
def letter(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, BuildReport]:
    """Built once; the part number is masked, as it has the shape of a taxpayer's."""
    client = client_with(tmp_path_factory.mktemp("letter"))
    report = built(client)
    assert report.held == ()
    assert PART not in text(report)
    return client, report


@pytest.fixture
def client(letter: tuple[Path, BuildReport], tmp_path: Path) -> Path:
    return shutil.copytree(letter[0], tmp_path / "client")


def let_through(client: Path, mark: int = 0) -> BuildReport:
    """Say of one mask of the letter that it is no number, and build again."""
    case = DESK.case(client)
    assert case.packet is not None
    page = case.parts[0].first_page + 1  # the letter stands behind its divider
    mask = [one for one in case.marks if one.page == page and one.what == "masked"][mark]
    DESK.correct(
        client,
        (NotANumber(LETTER, 1, mask.box, "a part of the mower"),),
        WHO,
        engagement_sha256=case.engagement_sha256,
    )
    return built(client)


def text(report: BuildReport) -> str:
    assert report.released is not None
    assert report.released.key_file is not None
    password = report.released.key_file.read_text().strip()
    document = pypdfium2.PdfDocument(report.released.packet, password=password)
    try:
        return "\n".join(page.get_textpage().get_text_range() for page in document)
    finally:
        document.close()


def sealed_of(report: BuildReport) -> SealedPacket:
    assert report.released is not None
    assert report.released.key_file is not None
    password = Secret(report.released.key_file.read_text().strip())
    data = report.released.packet.read_bytes()
    return SealedPacket(data, report.released.sha256, password, ALGORITHM, REVISION)


def opened(sealed: SealedPacket) -> bytes:
    assert sealed.passphrase is not None
    with pikepdf.open(io.BytesIO(sealed.pdf), password=sealed.passphrase.reveal()) as pdf:
        target = io.BytesIO()
        pdf.save(target, encryption=False)
    return target.getvalue()


def test_what_a_person_names_is_left_as_it_is_and_all_else_is_masked(client: Path) -> None:
    after = let_through(client)
    assert after.held == ()
    assert PART in text(after)
    assert SMALL_SSN not in text(after)
    assert "XXX-XX-3456" in text(after)
    assert after.released is not None
    manifest = read_manifest(after.released.manifest)
    (line,) = manifest["let_through"]
    assert (line["page"], line["why"]) == (3, "a part of the mower")
    assert [mask["page"] for mask in manifest["masks"]] == [5]
    assert PART not in after.released.manifest.read_text()
    assert PART.encode() not in (client / "ledger.jsonl").read_bytes()
    assert PART not in (client / "engagement.toml").read_text()
    assert PART not in repr(after.facts)
    assert [one.what for one in DESK.case(client).marks] == ["let through", "masked"]


def test_the_same_digits_at_another_place_stay_masked(tmp_path: Path) -> None:
    """Twice by shape: then the one is known from the other, and nothing is let through."""
    client = client_with(tmp_path, *LINES, f"and once more {PART} for the winter")
    assert built(client).held == ()
    report = let_through(client)
    assert any("known from elsewhere" in reason for reason in report.held)


def test_another_number_on_the_same_page_stays_masked(tmp_path: Path) -> None:
    client = client_with(tmp_path, *LINES, "and a second one 666-41-7799 for the winter")
    assert built(client).held == ()
    report = let_through(client)
    assert report.held == ()
    assert PART in text(report)
    assert "666-41-7799" not in text(report)


@pytest.mark.parametrize(
    ("line", "why"),
    [
        (f"Your social security number {PART}", "a label names this number"),
        (f"the spare part {SMALL_SSN} was ordered", "known from elsewhere"),
    ],
)
def test_a_number_that_a_label_names_or_that_is_known_is_never_let_through(
    tmp_path: Path, line: str, why: str
) -> None:
    client = client_with(tmp_path, "Dear Ms Marsh,", line)
    assert built(client).held == ()
    report = let_through(client)
    assert report.released is None
    assert [why in reason for reason in report.held] == [True]
    assert entries(client)[-1].facts["station"] == "masking"


def test_a_number_of_identifiers_toml_is_never_let_through(client: Path) -> None:
    path = client / "identifiers.toml"
    path.write_text(f'[[identifier]]\nkind = "ssn"\nvalue = "{PART}"\nholder = "taxpayer"\n')
    path.chmod(0o600)
    report = let_through(client)
    assert report.released is None
    assert ["known from elsewhere" in reason for reason in report.held] == [True]


def test_a_place_without_a_mask_stops_the_build(client: Path) -> None:
    case = DESK.case(client)
    wrong = NotANumber(LETTER, 1, Box(300, 300, 400, 320), "nothing here")
    DESK.correct(client, (wrong,), WHO, engagement_sha256=case.engagement_sha256)
    report = built(client)
    assert ["nothing is masked here" in reason for reason in report.held] == [True]


def test_another_version_of_the_file_is_not_let_through(client: Path) -> None:
    assert let_through(client).held == ()
    put_pdf(client / LETTER, [*LINES, "P.S. another one"])
    with pytest.raises(FileFaults, match="another version"):
        built(client)


def test_an_office_copy_is_not_touched_by_it(client: Path) -> None:
    assert let_through(client).held == ()
    report = build(BuildRequest(client, "office-copy"))
    assert report.released is not None
    assert report.facts.let_through == ()


def test_whatever_else_differs_from_the_packet_masked_whole_holds_it(
    letter: tuple[Path, BuildReport], client: Path
) -> None:
    """The comparison by itself: with a place, page or digits that are not those let through."""
    twin = opened(sealed_of(letter[1]))
    report = let_through(client)
    sealed = sealed_of(report)
    packet = opened(sealed)
    verdict = check_pdf(
        sealed.pdf,
        name="packet.pdf",
        passphrase=sealed.passphrase,
        known=(),
        policy=MaskPolicy(),
        ours=True,
    )
    assert verdict.judgement is Judgement.HELD  # by itself it would not go
    line = report.facts.let_through[0]
    right = Excepted(1, Box(*line.place), Secret("666417788"), "why")

    def held(places: dict[int, list[Excepted]]) -> list[str]:
        return list(exception_holds(packet, twin, sealed, verdict, places))

    assert held({line.page: [right]}) == []
    elsewhere = dataclasses.replace(right, box=Box(300, 300, 400, 320))
    others = dataclasses.replace(right, digits=Secret("666417789"))
    for wrong in ({}, {4: [right]}, {3: [elsewhere]}, {3: [others]}):
        assert held(wrong)
    surer = tuple(dataclasses.replace(one, how_sure="labelled") for one in verdict.sightings)
    told = dataclasses.replace(verdict, sightings=surer)
    assert list(exception_holds(packet, twin, sealed, told, {line.page: [right]}))

"""A recipe that asks for a review: the packet is built, checked and proved, and goes nowhere."""

import stat
from pathlib import Path

import pytest
from office_folders import Run, left_over, put_pdf, run_packets, small_client
from review_folders import REVIEW, copied, office_root, review_recipe
from waiting_packets import WHO, client_folder, events, sealed, wait

from packets.base.errors import FileFaults, UsageError
from packets.decisions.desk import Desk
from packets.handover.office_keys import new_office_key, trusted_keys
from packets.pipeline import build
from packets.pipeline_records import BuildRequest
from packets.recipe.shelf import load_recipe
from packets.sealing.ledger_chain import entries, verify
from packets.sealing.manifest import read_manifest
from packets.sealing.packet_proof import prove_packet
from packets.sealing.proof_papers import papers_beside
from packets.sealing.proof_records import Standing
from packets.sealing.records import SetLine
from packets.sealing.waiting import waiting

NAME = "2025-0201-client-copy"


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Run]:
    """The command, once in words and once as JSON; the second packet took the first one's place."""
    root = office_root(tmp_path_factory.mktemp("office"))
    words = run_packets("build", root / "client", "--recipe", root / "looked-at.toml")
    assert words.status == 0, words.said
    return root, words


@pytest.fixture
def client(told: tuple[Path, Run], tmp_path: Path) -> Path:
    return copied(told[0], tmp_path / "copy")


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.glob("*"))


def test_it_lies_in_to_review_with_its_papers_and_for_its_owner_alone(client: Path) -> None:
    folder = client / "to-review"
    assert names(folder) == [f"{NAME}.manifest.json", f"{NAME}.pdf", "SHA256SUMS"]
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert names(client / "outbound") == []
    assert names(client / "keys") == [f"{NAME}.pdf.txt"]
    assert left_over(client) == []


def test_the_summary_says_that_it_waits_and_how_to_look(told: tuple[Path, Run]) -> None:
    root, words = told
    assert "Waits for a person to look" in words.said
    said = "".join(words.out.split())
    assert f"waitsforapersontolook:packetsreview{root / 'client'}".replace(" ", "") in said
    assert "telephone" not in words.said


def test_json_tells_it_apart_from_a_release(client: Path, told: tuple[Path, Run]) -> None:
    recipe = told[0] / "looked-at.toml"
    document = run_packets("build", client, "--recipe", recipe, "--json").document
    assert document["exit_status"] == 0
    assert document["released"] is None
    assert document["packets"] == []
    (waits,) = document["to_review"]
    assert Path(waits["packet"]).parent == client / "to-review"


def test_a_newer_build_takes_its_place_and_says_so(client: Path, told: tuple[Path, Run]) -> None:
    report = build(BuildRequest(client, str(told[0] / "looked-at.toml")))
    assert report.released is not None
    assert report.released.packet.name == f"{NAME}-2.pdf"
    assert names(client / "to-review") == [f"{NAME}-2.manifest.json", f"{NAME}-2.pdf", "SHA256SUMS"]
    assert names(client / "keys") == [f"{NAME}-2.pdf.txt"]
    assert events(client, f"{NAME}.pdf")[-1] == "superseded"
    line = next(entry for entry in entries(client) if entry.event == "superseded")
    assert line.facts["by_sha256"] == report.released.sha256
    assert verify(client).sound


def test_a_folder_that_was_open_to_others_is_closed(tmp_path: Path) -> None:
    client = client_folder(tmp_path)
    (client / "to-review").mkdir(mode=0o755)
    wait(client)
    assert stat.S_IMODE((client / "to-review").stat().st_mode) == 0o700


def test_a_link_in_place_of_the_folder_is_not_followed(tmp_path: Path) -> None:
    client = client_folder(tmp_path)
    (tmp_path / "elsewhere").mkdir()
    (client / "to-review").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(UsageError, match="a link"):
        wait(client)
    assert list((tmp_path / "elsewhere").glob("*.pdf")) == []


def test_packets_of_two_recipes_wait_side_by_side(tmp_path: Path) -> None:
    client = client_folder(tmp_path)
    wait(client, sealed("one"))
    wait(client, sealed("two"), recipe_name="lender-copy")
    assert len(waiting(entries(client))) == 2


def test_numbered_packets_of_one_build_wait_together(tmp_path: Path) -> None:
    client = client_folder(tmp_path)
    wait(client, sealed("an older one"))
    packets = [sealed("one"), sealed("two")]
    together = tuple(
        SetLine(at, one.sha256, len(one.pdf), 1, ("Return",))
        for at, one in enumerate(packets, start=1)
    )
    for at, one in enumerate(packets, start=1):
        wait(client, one, number=at, whole_set=together)
    assert [one.sha256 for one in waiting(entries(client))] == [one.sha256 for one in packets]
    wait(client, sealed("a newer one"))
    assert len(waiting(entries(client))) == 1


def test_the_office_signs_it_when_a_person_lets_it_go_and_not_before(
    told: tuple[Path, Run], tmp_path: Path
) -> None:
    client = copied(told[0], tmp_path / "office")
    _, value = new_office_key(client.parent, None)
    office = client.parent / "office.toml"
    office.write_text(office.read_text() + f'key = "{value}"\n')
    report = build(BuildRequest(client, str(told[0] / "looked-at.toml")))
    assert report.released is not None
    assert report.released.signature is None
    out = Desk().release(client, report.released.packet.name, report.released.sha256, WHO)
    assert out.signature is not None
    proof = prove_packet(out.packet, papers_beside(out.packet, trusted_keys(client, ())))
    assert {finding.standing for finding in proof.findings} == {Standing.PROVED}


def test_out_is_refused_where_packets_wait(client: Path, told: tuple[Path, Run]) -> None:
    request = BuildRequest(client, str(told[0] / "looked-at.toml"), out=client / "outbound")
    with pytest.raises(UsageError, match="wait for a person"):
        build(request)


@pytest.mark.parametrize("recipe", ["office-copy", "efile-attachments"])
def test_no_packet_with_full_numbers_waits_to_be_shown(tmp_path: Path, recipe: str) -> None:
    with pytest.raises(FileFaults) as refused:
        load_recipe(review_recipe(tmp_path, recipe))
    assert [fault.where.split(", ")[-1] for fault in refused.value.faults] == ["release"]


@pytest.mark.parametrize("value", ['"yes"', "1"])
def test_review_is_true_or_false(tmp_path: Path, value: str) -> None:
    path = review_recipe(tmp_path)
    path.write_text(path.read_text().replace(REVIEW, f"\n[release]\nreview = {value}\n"))
    with pytest.raises(FileFaults, match=r"release\.review"):
        load_recipe(path)


def test_a_build_that_is_held_is_a_line_with_its_reasons(tmp_path: Path) -> None:
    client = small_client(tmp_path / "client")
    put_pdf(client / "documents" / "riddle.pdf", ["a page that nobody knows"])
    report = build(BuildRequest(client, "client-copy"))
    assert report.held
    line = entries(client)[-1]
    assert line.event == "held"
    assert line.facts["reasons"] == list(report.held)
    assert line.facts["station"] == "choice of pages"
    assert line.facts["recipe_given"] == "client-copy"
    assert {"file": "documents/riddle.pdf", "pages": 1} in line.facts["sources"]
    assert any(out["file"] == "documents/riddle.pdf" for out in line.facts["left_out"])


def test_a_held_build_leaves_what_waits_where_it_is(client: Path, told: tuple[Path, Run]) -> None:
    put_pdf(client / "documents" / "riddle.pdf", ["a page that nobody knows"])
    assert build(BuildRequest(client, str(told[0] / "looked-at.toml"))).held
    assert [one.packet for one in waiting(entries(client))] == [f"{NAME}.pdf"]
    assert (client / "to-review" / f"{NAME}.pdf").is_file()


def test_a_packet_that_does_not_wait_has_the_manifest_of_old(tmp_path: Path) -> None:
    client = small_client(tmp_path / "client")
    report = build(BuildRequest(client, "client-copy"))
    assert report.released is not None
    assert not report.waits
    assert report.released.packet.parent.name == "outbound"
    assert not {"origins", "open_lines"} & read_manifest(report.released.manifest).keys()

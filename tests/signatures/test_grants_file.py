"""grants.toml: what it may say, and every fault named."""

from pathlib import Path

import pytest
from signing_samples import grant_book, grant_text, scribble

from packets.base.errors import FileFaults, InputRefused
from packets.recipe.model import Role
from packets.signatures.grants import load_grants


def faults_of(folder: Path, *grants: str) -> str:
    with pytest.raises(FileFaults) as caught:
        grant_book(folder, *grants)
    return str(caught.value)


def test_a_grants_file_is_read_with_all_it_says(tmp_path: Path) -> None:
    (grant,) = grant_book(tmp_path).grants
    assert grant.role is Role.TAXPAYER
    assert grant.given_at.utcoffset() is not None
    assert grant.covers == ("form-8879", "form-1040", "consent-*")


def test_no_grants_file_means_no_grant(tmp_path: Path) -> None:
    assert load_grants(tmp_path).grants == ()


def test_a_time_without_an_offset_is_a_fault(tmp_path: Path) -> None:
    assert "given_at" in faults_of(tmp_path, grant_text(given_at="2026-03-03T10:15:00"))


def test_all_faults_are_named_at_once(tmp_path: Path) -> None:
    said = faults_of(
        tmp_path,
        grant_text(how='"fax"', image='"gone.png"'),
        grant_text(role='"boss"', recorded_by=""),
    )
    assert "grant[0].how" in said
    assert "grant[0].image" in said
    assert "grant[1].role" in said
    assert "grant[1].recorded_by" in said


def test_two_grants_of_one_id_are_a_fault(tmp_path: Path) -> None:
    assert "grant[1].id: an earlier grant" in faults_of(tmp_path, grant_text(), grant_text())


def test_a_grant_may_not_end_before_it_was_given(tmp_path: Path) -> None:
    assert "before given_at" in faults_of(tmp_path, grant_text(valid_until="2026-03-02"))


def test_a_bank_product_needs_a_grant_of_its_own(tmp_path: Path) -> None:
    said = faults_of(tmp_path, grant_text(covers='["bank-product", "form-8879"]'))
    assert "a grant of its own" in said


@pytest.mark.parametrize(
    "name", ["../taxpayer.png", "/etc/taxpayer.png", "a\\\\b.png", "sub/x.png", ".hidden.png"]
)
def test_an_image_is_a_plain_name(tmp_path: Path, name: str) -> None:
    assert "without a path" in faults_of(tmp_path, grant_text(image=f'"{name}"'))


def test_an_image_is_a_png_jpeg_or_svg_by_name(tmp_path: Path) -> None:
    assert ".png" in faults_of(tmp_path, grant_text(image='"taxpayer.gif"'))


def test_a_link_out_of_the_folder_is_a_fault(tmp_path: Path) -> None:
    outside = tmp_path / "elsewhere.png"
    scribble().save(outside)
    folder = tmp_path / "signatures"
    folder.mkdir()
    (folder / "linked.png").symlink_to(outside)
    assert "leads out of signatures/" in faults_of(folder, grant_text(image='"linked.png"'))


def test_a_loop_of_links_is_a_fault(tmp_path: Path) -> None:
    (tmp_path / "loop.png").symlink_to(tmp_path / "loop.png")
    assert "no such file" in faults_of(tmp_path, grant_text(image='"loop.png"'))


def test_an_image_that_became_a_link_out_is_refused_when_used(tmp_path: Path) -> None:
    folder = tmp_path / "signatures"
    book = grant_book(folder)
    (folder / "taxpayer.png").replace(tmp_path / "moved.png")
    (folder / "taxpayer.png").symlink_to(tmp_path / "moved.png")
    with pytest.raises(InputRefused, match="leads out"):
        book.image_path(book.grants[0])


def office_store(folder: Path, *grants: str) -> Path:
    folder.mkdir()
    scribble().save(folder / "ero.png")
    (folder / "grants.toml").write_text("\n".join(grants))
    return folder


ERO = grant_text("", id='"ero-1"', role='"ero"', image='"ero.png"', how='"rubber-stamp"')


def test_the_offices_grants_stand_beside_the_clients(tmp_path: Path) -> None:
    client, store = tmp_path / "signatures", office_store(tmp_path / "store", ERO)
    grant_book(client)
    book = load_grants(client, store)
    assert [grant.id for grant in book.grants] == ["2026-taxpayer-1", "ero-1"]
    own, shared = book.grants
    assert (book.home(own), book.home(shared)) == (client, store)
    assert book.image_path(shared) == (store / "ero.png").resolve()


def test_a_clients_signature_never_lies_in_the_offices_store(tmp_path: Path) -> None:
    store = office_store(tmp_path / "store", ERO.replace('"ero"', '"spouse"'))
    with pytest.raises(FileFaults, match="client's own folder"):
        load_grants(tmp_path / "signatures", store)


def test_one_id_names_one_grant_over_both(tmp_path: Path) -> None:
    client = tmp_path / "signatures"
    store = office_store(tmp_path / "store", ERO.replace("ero-1", "2026-taxpayer-1"))
    grant_book(client)
    with pytest.raises(FileFaults, match="store has a grant of this id"):
        load_grants(client, store)


def test_a_store_that_is_not_there_yet_holds_no_grant(tmp_path: Path) -> None:
    grant_book(tmp_path / "signatures")
    assert len(load_grants(tmp_path / "signatures", tmp_path / "store").grants) == 1


def test_another_picture_under_the_recorded_name_is_a_fault(tmp_path: Path) -> None:
    import hashlib

    folder = tmp_path / "signatures"
    grant_book(folder)
    digest = hashlib.sha256((folder / "taxpayer.png").read_bytes()).hexdigest()
    book = grant_book(folder, grant_text(image_sha256=f'"{digest}"'))
    assert book.image_path(book.grants[0]).name == "taxpayer.png"
    assert "another picture" in faults_of(folder, grant_text(image_sha256=f'"{"0" * 64}"'))


@pytest.mark.parametrize(
    ("extra", "said"),
    [
        ("withdrawn_at = 2026-03-04T10:00:00-05:00\n", "stand together"),
        ('withdrawn_why = "x"\n', "stand together"),
        ('withdrawn_at = 2026-03-02T10:00:00-05:00\nwithdrawn_why = "x"\n', "before given_at"),
        ("[grant.figures]\nagi = 1\n", "grant[0].figures.total_tax"),
        (
            "[grant.figures]\ntotal_tax = 1\nwithholding = 1\nrefund = 1\namount_owed = 1\n",
            "total_income or agi",
        ),
        ("[grant.figures]\nagi = 1.5\n", "whole number"),
        ('[grant.evidence]\nip_address = "nowhere"\n', "no IP address"),
        ('[grant.evidence]\nlogin_name = "666-12-3456"\n', "somebody's number"),
        ("[grant.evidence]\nverification_level = 9\n", "4 or less"),
        ('[grant.evidence]\nphoto_id_seen = "yes"\n', "true or false"),
    ],
)
def test_what_a_grant_may_not_say_is_named(tmp_path: Path, extra: str, said: str) -> None:
    assert said in faults_of(tmp_path, grant_text(extra))

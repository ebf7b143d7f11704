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


def test_an_image_is_a_png_or_jpeg_by_name(tmp_path: Path) -> None:
    assert ".png" in faults_of(tmp_path, grant_text(image='"taxpayer.svg"'))


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

"""The folders are what a user's client folder is, down to the files that a person writes."""

import tomllib

import pytest
from pypdf import PdfReader
from sample_scan import FOLDERS, ROOT, digits_only, sample_files, short

from packets.intake.engagement import EngagementFile
from packets.signatures.grants import load_grants


def table(name: str) -> dict[str, list[dict[str, str]]]:
    return tomllib.loads((ROOT / name).read_text("utf-8"))


@pytest.mark.parametrize("folder", FOLDERS)
def test_engagement_toml_has_every_key_right(folder: str) -> None:
    file = EngagementFile.model_validate(table(f"{folder}/engagement.toml"))
    assert file.engagement.tax_year == 2025
    for helped in file.document:
        assert (ROOT / folder / helped.file).is_file()


@pytest.mark.parametrize("folder", FOLDERS)
def test_grants_toml_has_every_key_right_and_names_images_that_are_there(folder: str) -> None:
    book = load_grants(ROOT / folder / "signatures")
    assert {grant.role.value for grant in book.grants} >= {"taxpayer"}


def test_identifiers_toml_holds_only_some_of_the_numbers() -> None:
    given = {
        digits_only(entry["value"])
        for entry in table("joint-return/identifiers.toml")["identifier"]
    }
    assert "666123481" in given
    left_to_labels = {"000452718", "412007305", "543210000", "666301946", "0088412073", "507116"}
    assert not given & left_to_labels


def test_one_grant_has_run_out_and_every_paper_has_one_in_force() -> None:
    book = load_grants(ROOT / "joint-return" / "signatures")
    presented = table("joint-return/engagement.toml")["engagement"]["presented_on"]
    in_force = [grant for grant in book.grants if grant.valid_until >= presented]
    assert len(in_force) < len(book.grants)
    letters = [grant.role.value for grant in in_force if "engagement-letter" in grant.covers]
    assert sorted(letters) == ["spouse", "taxpayer"]


@pytest.mark.parametrize(
    ("page", "words"),
    [
        (1, "IRS e-file Signature Authorization"),
        (2, "Payment Voucher"),
        (3, "U.S. Individual Income Tax Return"),
        (4, "Form 1040 (2025)"),
        (5, "Additional Income and Adjustments to Income"),
        (6, "Schedule 1 (Form 1040) 2025"),
        (7, "Additional Taxes"),
        (8, "Schedule 2 (Form 1040) 2025"),
        (9, "Interest and Ordinary Dividends"),
        (10, "Profit or Loss From Business"),
        (11, "Schedule C (Form 1040) 2025"),
        (12, "Self-Employment Tax"),
        (13, "Credits for Qualifying Children and Other Dependents"),
        (14, "Qualified Business Income Deduction"),
        (15, "Paid Preparer's Due Diligence Checklist"),
        (16, "Form 8867 (Rev. 11-2024)"),
        (17, "Qualified Dividends and Capital Gain Tax Worksheet"),
        (18, "Tax Return Summary Worksheet"),
        (19, "2025 Ohio IT 1040"),
        (20, "2025 Ohio IT 1040"),
        (21, "Return Diagnostics"),
    ],
)
def test_each_page_of_the_long_return_is_headed_as_its_form_is(page: int, words: str) -> None:
    reader = PdfReader(ROOT / "joint-return" / "documents" / "2025-tax-return.pdf")
    assert len(reader.pages) == 21
    assert words in reader.pages[page - 1].extract_text()


@pytest.mark.parametrize(
    ("page", "sequence"),
    [(5, "01"), (7, "02"), (9, "08"), (10, "09"), (12, "17"), (13, "47"), (14, "55"), (15, "70")],
)
def test_each_schedule_prints_its_attachment_sequence_number(page: int, sequence: str) -> None:
    reader = PdfReader(ROOT / "joint-return" / "documents" / "2025-tax-return.pdf")
    words = " ".join(reader.pages[page - 1].extract_text().split())
    assert f"Sequence No. {sequence}" in words or f"Sequence No.{sequence}" in words


def test_the_readme_has_a_row_for_every_file_and_says_that_all_is_invented() -> None:
    readme = (ROOT / "README.md").read_text("utf-8")
    for path in sample_files():
        assert f"| `{short(path).split('/', 1)[1]}`" in readme
    for promise in ("invented", "never assigned", "not tax advice"):
        assert promise in " ".join(readme.split())

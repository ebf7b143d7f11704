"""Each reason of a hold comes with what to do about it, and the source page that it is about."""

import pytest

from packets.decisions.records import Origin
from packets.decisions.words import hold_reason, mask_words, signature_words
from packets.handover.holds import Station

FILES = ("documents/w-2/scan 12.pdf", "documents/return.pdf", "documents/return.pdf.pdf")


@pytest.mark.parametrize("station", [*Station, "a station of another version", ""])
def test_every_reason_has_a_remedy(station: str) -> None:
    reason = hold_reason(str(station), "something stands against it", FILES)
    assert reason.remedy.endswith(".")
    assert reason.origin is None


@pytest.mark.parametrize(
    ("words", "file", "page"),
    [
        ("page 7 (documents/return.pdf page 3): ssn in page text", FILES[1], 3),
        ("documents/w-2/scan 12.pdf page 2: the picture cannot be read", FILES[0], 2),
        ("documents/return.pdf.pdf page 2: the picture cannot be read", FILES[2], 2),
        ("documents/return.pdf, pages 4-6: no category is known", FILES[1], 4),
        ("documents/return.pdf, page 4: no category is known", FILES[1], 4),
    ],
)
def test_a_reason_about_a_page_names_it(words: str, file: str, page: int) -> None:
    assert hold_reason(Station.CHECK, words, FILES).origin == Origin(file, page)


def test_a_reason_about_a_file_that_is_not_there_names_none() -> None:
    assert hold_reason(Station.CHECK, "documents/other.pdf page 2: held", FILES).origin is None


def test_what_could_not_be_read_is_to_be_scanned_again() -> None:
    assert "Scan" in hold_reason(Station.CHECK, "could not be read: page 3", FILES).remedy


def test_a_missing_consent_says_where_it_belongs() -> None:
    words = "the consent to disclose is not signed by the taxpayer"
    assert "consent-disclosure" in hold_reason(Station.SIGNING, words, FILES).remedy


def test_marks_are_told_in_words() -> None:
    assert mask_words("ssn", "XXX-XX-6789") == "Social Security number, shows XXX-XX-6789"
    assert mask_words("ssn", " ") == "Social Security number, shows nothing"
    assert mask_words("another", "X") == "another, shows X"
    assert signature_words("ero", "2026-ero-1") == "ERO, by grant 2026-ero-1"

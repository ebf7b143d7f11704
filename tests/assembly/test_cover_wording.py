"""The cover says what its reader needs, and says nothing that is not so."""

import pytest
from bound_samples import bind, numbered_pdf, one_part, texts

from packets.assembly.assemble import assemble


def _cover(audience: str, **changes: object) -> str:
    packet = assemble(bind(one_part(numbered_pdf(1)), audience=audience, **changes))
    return " ".join(texts(packet)[0].split())


@pytest.mark.parametrize("audience", ["client", "third-party", "office"])
def test_every_cover_warns_that_it_is_not_for_filing_and_not_advice(audience: str) -> None:
    cover = _cover(audience)
    assert "not legal or tax advice" in cover
    assert any(words in cover for words in ("Not for filing", "Do not file", "not for filing"))
    assert "original" in cover
    assert "Sample household" in cover
    assert "Tax year 2025" in cover
    assert "2025-0147" in cover


@pytest.mark.parametrize("audience", ["client", "third-party"])
def test_who_receives_it_learns_how_it_opens_and_whom_to_ask(audience: str) -> None:
    cover = _cover(audience)
    assert "AES-256" in cover
    assert "another route" in cover
    assert "contact our office" in cover


@pytest.mark.parametrize("audience", ["client", "third-party", "office"])
def test_masking_and_encryption_are_claimed_only_where_they_are_done(audience: str) -> None:
    assert "last four digits only" in _cover(audience)
    plain = _cover(audience, masked=False, encrypted=False)
    assert "last four" not in plain
    assert "AES" not in plain
    assert "passphrase" not in plain


def test_an_unmasked_office_copy_says_that_it_stays() -> None:
    assert "does not leave the office" in _cover("office", masked=False)


def test_an_agency_packet_holds_nothing_of_ours() -> None:
    packet = assemble(
        bind(
            one_part(numbered_pdf(2), (1, 2)), audience="agency", stamp_text="", page_numbers=False
        )
    )
    assert texts(packet) == ["sheet 1", "sheet 2"]
    assert packet.parts[0].first_page == 1

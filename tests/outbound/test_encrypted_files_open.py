"""Files of every revision of the standard security handler are read to their last string."""

import io

import pikepdf
import pytest
from outbound_pages import literal, opened
from pikepdf import Dictionary, Stream, String

from packets.base.limits import DEFAULT_LIMITS
from packets.base.secret import Secret
from packets.identifiers.kinds import Kind, KnownNumber, MaskPolicy
from packets.outbound.check import check_pdf
from packets.outbound.objects.opened import InflationAllowance, open_file

KNOWN = (KnownNumber(Kind.SSN, Secret("000123456")),)


def locked(revision: int, user: str, owner: str, **more: object) -> bytes:
    pdf = opened()
    pdf.Root["/Extra"] = Dictionary(Note=String("note 000-12-3456"))
    pdf.Root["/More"] = pdf.make_indirect(Stream(pdf, b"BT " + literal("666-12-3457") + b" Tj ET"))
    if revision < 5:
        more["metadata"] = False
    if revision < 4:
        more["aes"] = False
        more["metadata"] = False
    out = io.BytesIO()
    pdf.save(out, encryption=pikepdf.Encryption(user=user, owner=owner, R=revision, **more))
    return out.getvalue()


@pytest.mark.parametrize("revision", [2, 3, 4, 6])
@pytest.mark.parametrize("word", ["user words", "owner words"])
def test_strings_and_streams_are_read_with_either_password(revision: int, word: str) -> None:
    data = locked(revision, "user words", "owner words")
    verdict = check_pdf(
        data, name="a.pdf", passphrase=Secret(word), known=KNOWN, policy=MaskPolicy()
    )
    seen = {(sighting.reader, sighting.how_sure) for sighting in verdict.sightings}
    assert ("objects and streams", "known number") in seen
    assert ("objects and streams", "shape") in seen
    assert verdict.unread == ()


@pytest.mark.parametrize("revision", [2, 3, 4, 6])
def test_an_empty_user_password_opens_without_any(revision: int) -> None:
    data = locked(revision, "", "owner words")
    verdict = check_pdf(data, name="a.pdf", passphrase=None, known=KNOWN, policy=MaskPolicy())
    assert any(seen.how_sure == "known number" for seen in verdict.sightings)


def test_a_passphrase_with_accents_opens() -> None:
    data = locked(6, "Größe cinq café", "owner words")
    allowance = InflationAllowance(DEFAULT_LIMITS)
    file = open_file(data, Secret("Größe cinq café"), DEFAULT_LIMITS, allowance)
    assert file.encryption is not None
    assert file.encryption.revision == 6


def test_the_file_key_does_not_print_itself() -> None:
    data = locked(6, "user words", "owner words")
    allowance = InflationAllowance(DEFAULT_LIMITS)
    key = open_file(data, Secret("user words"), DEFAULT_LIMITS, allowance).encryption
    assert key is not None
    assert key.key.hex() not in repr(key)
    assert repr(key.key) not in repr(key)

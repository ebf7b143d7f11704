"""A source that bears a cryptographic signature: who, when, and whether it holds."""

import importlib.util
import io
from pathlib import Path

import pikepdf
import pytest
from signed_papers import SIGNER, plain_page, signed

from packets.intake.records import SignatureVerdict, SourceSignature
from packets.intake.signed_fields import SignedField
from packets.intake.source_signatures import examine, installed_examiner, source_signatures
from packets.intake.take_in import take_in

FIELD = "taxpayer_signature_consent"
needs_library = pytest.mark.skipif(
    importlib.util.find_spec("pyhanko") is None, reason="the extra signed-sources is not installed"
)
CLAIM = SignedField(FIELD, "Somebody Else", "D:20260303101500-05'00'")


def taken(folder: Path, data: bytes) -> tuple[SourceSignature, ...]:
    path = folder / "consent.pdf"
    path.write_bytes(data)
    return take_in(path).signatures


def test_an_unsigned_document_has_none(tmp_path: Path) -> None:
    assert taken(tmp_path, plain_page()) == ()


@needs_library
def test_a_whole_signature_names_its_signer_time_and_what_was_not_judged(tmp_path: Path) -> None:
    (found,) = taken(tmp_path, signed(plain_page()))
    assert (found.field, found.signer) == (FIELD, SIGNER)
    assert found.verdict is SignatureVerdict.VALID
    assert found.signed_at[:2] == "20"
    assert "issued the certificate was not judged" in found.words


@needs_library
def test_a_changed_byte_makes_it_not_valid(tmp_path: Path) -> None:
    data = signed(plain_page())
    changed = data.replace(b"Consent to disclosure", b"Consent to anything!!", 1)
    assert changed != data
    (found,) = taken(tmp_path, changed)
    assert found.verdict is SignatureVerdict.NOT_VALID


@needs_library
def test_a_page_added_after_signing_makes_it_not_valid(tmp_path: Path) -> None:
    from pyhanko.pdf_utils.generic import ArrayObject, NumberObject, pdf_name
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

    writer = IncrementalPdfFileWriter(io.BytesIO(signed(plain_page())))
    page = writer.root["/Pages"]["/Kids"][0].get_object()
    page[pdf_name("/MediaBox")] = ArrayObject([NumberObject(n) for n in (0, 0, 300, 300)])
    writer.update_container(page)
    out = io.BytesIO()
    writer.write(out)
    (found,) = taken(tmp_path, out.getvalue())
    assert found.verdict is SignatureVerdict.NOT_VALID
    assert "after signing" in found.why


@needs_library
def test_a_second_signer_does_not_spoil_the_first(tmp_path: Path) -> None:
    both = signed(signed(plain_page()), "spouse_signature_consent")
    assert [found.verdict for found in taken(tmp_path, both)] == [SignatureVerdict.VALID] * 2


def test_without_the_library_it_is_recorded_as_not_verified() -> None:
    (found,) = source_signatures(b"", (CLAIM,), lambda: None)
    assert found.verdict is SignatureVerdict.NOT_VERIFIED
    assert found.verdict.value == "present, not verified"
    assert (found.signer, found.signed_at) == ("Somebody Else", CLAIM.claimed_time)
    assert "signed-sources" in found.why


def test_a_file_that_breaks_the_library_is_recorded_as_not_verified() -> None:
    def breaks(data: bytes) -> dict[str, SourceSignature]:
        raise RecursionError

    (found,) = source_signatures(b"", (CLAIM,), lambda: breaks)
    assert found.verdict is SignatureVerdict.NOT_VERIFIED
    assert "could not be examined" in found.why


@needs_library
def test_a_signature_of_nonsense_is_not_valid_or_not_verified(tmp_path: Path) -> None:
    target = io.BytesIO()
    with pikepdf.open(io.BytesIO(plain_page())) as pdf:
        value = pikepdf.Dictionary(
            Type=pikepdf.Name.Sig,
            Contents=pikepdf.String(b"\x30\x03nonsense"),
            ByteRange=pikepdf.Array([0, 10, 20, 30]),
        )
        field = pikepdf.Dictionary(FT=pikepdf.Name.Sig, T=pikepdf.String(FIELD), V=value)
        loop = pdf.make_indirect(pikepdf.Dictionary(T=pikepdf.String("loop")))
        loop.Kids = pikepdf.Array([loop, pdf.make_indirect(field)])
        pdf.Root.AcroForm = pikepdf.Dictionary(Fields=pikepdf.Array([loop]))
        pdf.save(target)
    (found,) = taken(tmp_path, target.getvalue())
    assert found.verdict is not SignatureVerdict.VALID


@needs_library
def test_the_library_is_found_where_it_is_installed() -> None:
    assert installed_examiner() is examine

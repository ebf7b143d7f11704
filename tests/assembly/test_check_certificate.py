"""The certificate of a check: one page, complete, and itself without any number."""

import datetime as dt
import hashlib
import io

import pypdf
import pytest

from packets.assembly.check_certificate import CertificateFacts, CertifiedFile, certificate
from packets.identifiers.kinds import MaskPolicy
from packets.outbound.any_file import check_file
from packets.outbound.records import Judgement

AT = dt.datetime(2026, 3, 3, 10, 30, tzinfo=dt.timezone(dt.timedelta(hours=-5)))


def facts(digest: str, count: int, held: int = 0) -> CertificateFacts:
    files = tuple(
        CertifiedFile(f"file {at}.pdf", digest, "held" if at < held else "clean")
        for at in range(count)
    )
    readers = (("page text", "pypdfium2 5.15.2"), ("pixels", "tesserocr 2.13.0"))
    return CertificateFacts("outbound", AT, files, digest, readers, digest, "packets 0.1.0")


def words(data: bytes) -> str:
    document = pypdf.PdfReader(io.BytesIO(data))
    assert len(document.pages) == 1
    return document.pages[0].extract_text()


DIGEST = hashlib.sha256(b"a").hexdigest()


def test_it_tells_date_hashes_readers_and_versions() -> None:
    told = words(certificate(facts(DIGEST, 2)))
    for word in ("CLEAN: 2 files", "March 03, 2026, 10:30:00 (UTC-0500)", "tesserocr 2.13.0"):
        assert word in told
    assert told.replace(":", "").count(DIGEST) == 4
    assert "file 1.pdf" in told


def test_ten_thousand_files_stay_on_one_page_held_ones_first() -> None:
    told = words(certificate(facts(DIGEST, 10_000, held=3)))
    assert "HELD: 3 of 10,000 files" in told
    assert told.index("held: file 2.pdf") < told.index("clean: file 10.pdf")
    assert "more, in the list of the digest" in told


def test_the_same_facts_make_the_same_bytes() -> None:
    assert certificate(facts(DIGEST, 5)) == certificate(facts(DIGEST, 5))


@pytest.mark.parametrize(
    "digest", ["0123456789" * 6 + "abcd", "666123457" * 7 + "0", "4111111111111111" * 4, DIGEST]
)
def test_no_digest_is_taken_for_a_number(digest: str) -> None:
    data = certificate(facts(digest, 30))
    verdict = check_file(data, name="certificate.pdf", known=(), policy=MaskPolicy())
    assert verdict.judgement is Judgement.CLEAN


def test_names_in_any_letters_and_of_any_length_fit() -> None:
    long = CertifiedFile("Ąžé\n漢字 " + "x" * 500 + " end.pdf", DIGEST, "clean")
    told = words(certificate(CertificateFacts("a", AT, (long,), DIGEST, (), DIGEST, "p")))
    assert "end.pdf" in told
    assert "..." in told

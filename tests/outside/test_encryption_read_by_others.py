"""Sealed packets as three other libraries and the bytes themselves show them.

Entries and sizes: ISO 32000-2:2020, 7.6.4 (Tables 20, 21, 22). pypdf and
pdfminer.six carry their own implementation of Algorithm 2.B; PDFium has a third.
"""

import io
import re

import pikepdf
import pypdf
import pypdfium2
import pytest
from pdfminer.high_level import extract_text
from pdfminer.pdfdocument import PDFDocument, PDFPasswordIncorrect
from pdfminer.pdfparser import PDFParser
from pypdf.generic import DictionaryObject

from packets.base.secret import Secret
from packets.sealing.encrypt import seal

PASSPHRASES = [
    "walnut-harbor-ribbon-candle-tundra-mosaic",
    "fifteen letters",
    "x" * 60 + "-abcdef-" + "y" * 59,
    "größer als alle Wälder zusammen",
]
WORDS = "Refund 1,234 to be deposited"
TITLE = "Your 2025 income tax return"


def _packet() -> bytes:
    with pikepdf.new() as pdf:
        page = pdf.add_blank_page(page_size=(612, 792))
        page.obj.Resources = pikepdf.Dictionary(
            Font=pikepdf.Dictionary(
                F1=pikepdf.Dictionary(
                    Type=pikepdf.Name.Font,
                    Subtype=pikepdf.Name.Type1,
                    BaseFont=pikepdf.Name.Helvetica,
                )
            )
        )
        page.obj.Contents = pdf.make_stream(f"BT /F1 12 Tf 72 700 Td ({WORDS}) Tj ET".encode())
        pdf.docinfo["/Title"] = TITLE
        with pdf.open_metadata() as metadata:
            metadata["dc:title"] = TITLE
        target = io.BytesIO()
        pdf.save(target, compress_streams=False)
    return target.getvalue()


PACKET = _packet()


@pytest.fixture(params=PASSPHRASES, ids=["words", "shortest", "longest", "letters"], scope="module")
def sealed(request: pytest.FixtureRequest) -> tuple[bytes, str]:
    return seal(PACKET, Secret(request.param)).pdf, request.param


def _entries(pdf: bytes) -> DictionaryObject:
    entry = pypdf.PdfReader(io.BytesIO(pdf)).trailer["/Encrypt"].get_object()
    assert isinstance(entry, DictionaryObject)
    return entry


def test_the_entries_are_those_of_version_5_revision_6(sealed: tuple[bytes, str]) -> None:
    entries = _entries(sealed[0])
    assert (entries["/Filter"], entries["/V"], entries["/R"]) == ("/Standard", 5, 6)
    sizes = {name: len(entries[name].original_bytes) for name in ("/O", "/U", "/OE", "/UE")}
    assert sizes == {"/O": 48, "/U": 48, "/OE": 32, "/UE": 32}
    assert len(entries["/Perms"].original_bytes) == 16
    assert entries["/P"] == -4
    assert entries.get("/EncryptMetadata", True)


def test_one_crypt_filter_serves_all_and_nothing_is_left_out(sealed: tuple[bytes, str]) -> None:
    entries = _entries(sealed[0])
    assert entries["/StmF"] == entries["/StrF"] == "/StdCF"
    assert "/EFF" not in entries
    assert list(entries["/CF"]) == ["/StdCF"]
    assert entries["/CF"]["/StdCF"]["/CFM"] == "/AESV3"
    assert b"/Identity" not in sealed[0]
    assert b"/Crypt" not in sealed[0]


def test_no_length_stands_beside_version_5(sealed: tuple[bytes, str]) -> None:
    """Table 20: /Length is for V 2 and 3."""
    assert "/Length" not in _entries(sealed[0])


def test_the_cross_references_are_a_stream_and_the_file_is_not_linearized(
    sealed: tuple[bytes, str],
) -> None:
    assert b"/ObjStm" in sealed[0]
    assert b"/XRef" in sealed[0]
    assert b"/Linearized" not in sealed[0]
    assert sealed[0].count(b"%%EOF") == 1


def test_pypdf_opens_it_as_the_user_and_reads_the_words(sealed: tuple[bytes, str]) -> None:
    reader = pypdf.PdfReader(io.BytesIO(sealed[0]))
    assert reader.decrypt(sealed[1]) == pypdf.PasswordType.USER_PASSWORD
    assert WORDS in reader.pages[0].extract_text()
    assert reader.metadata is not None
    assert reader.metadata.title == TITLE


def test_pdfminer_opens_it_and_reads_the_words(sealed: tuple[bytes, str]) -> None:
    assert WORDS in extract_text(io.BytesIO(sealed[0]), password=sealed[1])


def test_pdfium_opens_it_and_reads_the_words(sealed: tuple[bytes, str]) -> None:
    with pypdfium2.PdfDocument(sealed[0], password=sealed[1]) as document:
        assert len(document) == 1
        assert WORDS in document[0].get_textpage().get_text_bounded()


@pytest.mark.parametrize("wrong", ["", "walnut", "Walnut-harbor-ribbon-candle-tundra-mosaic"])
def test_a_wrong_passphrase_opens_it_nowhere(wrong: str) -> None:
    sealed = seal(PACKET, Secret(PASSPHRASES[0])).pdf
    reader = pypdf.PdfReader(io.BytesIO(sealed))
    assert reader.decrypt(wrong) == pypdf.PasswordType.NOT_DECRYPTED
    with pytest.raises(PDFPasswordIncorrect):
        PDFDocument(PDFParser(io.BytesIO(sealed)), password=wrong)
    with pytest.raises(pypdfium2.PdfiumError, match="password"):
        pypdfium2.PdfDocument(sealed, password=wrong)
    with pytest.raises(pikepdf.PasswordError):
        pikepdf.open(io.BytesIO(sealed), password=wrong)


def test_the_128th_byte_of_a_passphrase_would_be_ignored_so_127_are_the_most() -> None:
    """ISO 32000-2:2020, 7.6.4.3.3: why `seal` refuses longer ones."""
    longest = PASSPHRASES[2]
    assert len(longest.encode()) == 127
    sealed = seal(PACKET, Secret(longest)).pdf
    with pikepdf.open(io.BytesIO(sealed), password=longest + "ignored") as pdf:
        assert len(pdf.pages) == 1


def test_without_the_passphrase_not_even_the_pages_can_be_counted(
    sealed: tuple[bytes, str],
) -> None:
    assert b"/Page" not in sealed[0].replace(b"/Pages", b"")
    assert b"/Count" not in sealed[0]
    with pytest.raises(pypdf.errors.FileNotDecryptedError):
        len(pypdf.PdfReader(io.BytesIO(sealed[0])).pages)


def test_no_word_of_page_or_title_is_in_the_bytes(sealed: tuple[bytes, str]) -> None:
    for words in (WORDS, TITLE, "Helvetica", "xmpmeta"):
        assert words.encode() in PACKET
        assert words.encode() not in sealed[0]
        assert words.encode("utf-16-be") not in sealed[0]


def test_digits_planted_in_dictionary_keys_do_not_survive() -> None:
    with pikepdf.open(io.BytesIO(PACKET)) as pdf:
        key, inner = "/K000-12-3456", pikepdf.Dictionary({"/N000123456": 1})
        form = pdf.make_stream(b"q Q", Type=pikepdf.Name.XObject, Subtype=pikepdf.Name.Form)
        form.Resources = pikepdf.Dictionary({"/Properties": pikepdf.Dictionary({key: inner})})
        pdf.pages[0].obj.Resources["/XObject"] = pikepdf.Dictionary({"/X000-12-3456": form})
        pdf.pages[0].obj[key] = inner
        pdf.Root["/PageLabels"] = pikepdf.Dictionary({key: inner})
        pdf.docinfo[key] = "planted"
        target = io.BytesIO()
        pdf.save(target, object_stream_mode=pikepdf.ObjectStreamMode.disable)
    planted = re.compile(rb"000-?12-?3456")
    assert len(planted.findall(target.getvalue())) >= 6
    assert not planted.findall(seal(target.getvalue(), Secret(PASSPHRASES[0])).pdf)

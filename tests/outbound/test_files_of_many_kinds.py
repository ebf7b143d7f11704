"""A number is seen in every kind of file, however it is split; the same file without is clean."""

from collections.abc import Callable

import pikepdf
import pytest
from outbound_carriers import (
    docx,
    in_base64,
    mail,
    packed,
    picture,
    png_with_words,
    saved_mail,
    tarred,
    two_pictures,
    xlsx,
    zipped,
)
from outbound_pages import opened, page_pdf, saved

from packets.base.secret import Secret
from packets.identifiers.kinds import Kind, KnownNumber, MaskPolicy
from packets.outbound.any_file import check_file
from packets.outbound.records import Judgement, Verdict

KNOWN = (KnownNumber(Kind.SSN, Secret("000123456")),)
SHAPED, BARE, MASKED = "666-12-3457", "987654320", "XXX-XX-3457"


def judged(name: str, data: bytes) -> Verdict:
    return check_file(data, name=name, known=KNOWN, policy=MaskPolicy())


def wide(words: str) -> bytes:
    return words.encode("utf-16-le")


def styled(code: str) -> str:
    return (
        f'<numFmts><numFmt numFmtId="164" formatCode="{code}"/></numFmts>'
        '<cellXfs count="2"><xf numFmtId="0"/><xf numFmtId="164"/></cellXfs>'
    )


Maker = Callable[[str], bytes]
CARRIERS: dict[str, tuple[str, Maker]] = {
    "text": ("a.txt", lambda n: f"the number is {n}".encode()),
    "text without an ending": ("notes", lambda n: f"the number is {n}".encode()),
    "table": ("a.csv", lambda n: f"name,number\nA. Example,{n}\n".encode()),
    "page over seams": (
        "a.html",
        lambda n: f"<p>No. {n[:5]}<b>{n[5:8]}</b><i>{n[8:]}</i></p>".encode(),
    ),
    "value of a field": ("a.html", lambda n: f"<input name=a value='{n}'>".encode()),
    "comment": ("a.html", lambda n: f"<p>a</p><!-- {n} -->".encode()),
    "plain section": ("a.xml", lambda n: f"<a><![CDATA[{n}]]></a>".encode()),
    "JSON": ("a.json", lambda n: f'{{"note": "{n}"}}'.encode()),
    "mail body": ("a.eml", lambda n: mail(f"the number is {n}")),
    "mail subject": ("a.eml", lambda n: mail(subject=f"é return of {n}")),
    "mail attachment": ("a.eml", lambda n: mail("x", ("a.txt", f"number {n}".encode()))),
    "mail with a PDF": ("a.eml", lambda n: mail("x", ("a.pdf", page_pdf(f"number {n}")))),
    "mail in a mail": ("a.eml", lambda n: mail("x", ("b.eml", mail(f"number {n}")))),
    "mail under another name": ("a.txt", lambda n: mail(f"the number is {n}")),
    "mbox": ("a.mbox", lambda n: b"From a\n" + mail() + b"\nFrom b\n" + mail(f"number {n}")),
    "saved mail, body": ("a.msg", lambda n: saved_mail(x1000001F=wide(f"number {n}"))),
    "saved mail, 8-bit subject": ("a.msg", lambda n: saved_mail(x0037001E=f"No. {n}".encode())),
    "saved mail, attachment": (
        "a.msg",
        lambda n: saved_mail(x37010102=docx(n), x3707001F=wide("a.docx")),
    ),
    "archive": ("a.zip", lambda n: zipped({"in/b.txt": f"number {n}"})),
    "archive in an archive": ("a.zip", lambda n: zipped({"b.zip": zipped({"c.txt": f"no {n}"})})),
    "tar": ("a.tar", lambda n: tarred({"b.txt": f"number {n}".encode()})),
    "gzip": ("a.tar.gz", lambda n: packed(tarred({"b.txt": f"number {n}".encode()}), "gz")),
    "bzip2": ("a.txt.bz2", lambda n: packed(f"number {n}".encode(), "bz2")),
    "xz": ("a.txt.xz", lambda n: packed(f"number {n}".encode(), "xz")),
    "words in runs": ("a.docx", lambda n: docx("No. ", n[:2], n[2:5], n[5:])),
    "picture in a document": (
        "a.docx",
        lambda n: docx("x", extra={"word/media/image1.png": picture(f"No. {n}")}),
    ),
    "shared string in runs": (
        "a.xlsx",
        lambda n: xlsx(
            '<c r="A1" t="s"><v>0</v></c>',
            f"<si><r><t>{n[:4]}</t></r><r><rPr><b/></rPr><t>{n[4:]}</t></r></si>",
        ),
    ),
    "string in the cell": ("a.xlsx", lambda n: xlsx(f'<c t="inlineStr"><is><t>{n}</t></is></c>')),
    "rich text": ("a.rtf", lambda n: rf"{{\rtf1\ansi No. {n[:4]}\b {n[4:]}\b0\par}}".encode()),
    "rich text, escaped": (
        "a.rtf",
        lambda n: (
            rb"{\rtf1 "
            + b"".join(
                rb"\'%02x" % ord(c) if i % 2 else rb"\u%d?" % ord(c) for i, c in enumerate(n)
            )
            + b"}"
        ),
    ),
    "PNG": ("a.png", lambda n: picture(f"No. {n}")),
    "JPEG": ("a.jpg", lambda n: picture(f"No. {n}", "JPEG")),
    "second picture of a TIFF": ("a.tif", lambda n: two_pictures(f"No. {n}")),
    "words beside a picture": ("a.png", lambda n: png_with_words("Title", n, squeezed=True)),
    "file in Base64": ("a.txt", lambda n: in_base64(docx(f"the number is {n} here"))),
    "PDF under another name": ("a.dat", lambda n: page_pdf(f"number {n}")),
}


@pytest.mark.parametrize("kind", CARRIERS)
def test_a_number_is_seen(kind: str) -> None:
    name, made = CARRIERS[kind]
    verdict = judged(name, made(SHAPED))
    assert verdict.judgement is Judgement.HELD
    assert verdict.sightings
    assert not verdict.unread
    assert "3457" not in repr(verdict)


@pytest.mark.parametrize("kind", CARRIERS)
def test_the_same_file_masked_is_clean(kind: str) -> None:
    name, made = CARRIERS[kind]
    verdict = judged(name, made(MASKED))
    assert (verdict.sightings, verdict.unread) == ((), ())
    assert verdict.judgement is Judgement.CLEAN
    assert verdict.readers


def attached(data: bytes) -> bytes:
    pdf = opened()
    pdf.attachments["attached"] = pikepdf.AttachedFileSpec(pdf, data)
    return saved(pdf)


@pytest.mark.parametrize(
    "kind", ["words in runs", "mail body", "archive", "saved mail, body", "gzip", "rich text"]
)
def test_a_file_attached_to_a_pdf_is_read_too(kind: str) -> None:
    made = CARRIERS[kind][1]
    verdict = judged("a.pdf", attached(made(SHAPED)))
    assert any(seen.place.startswith("attachment in ") for seen in verdict.sightings)
    inner = attached(zipped({"b.pdf": attached(made(SHAPED))}))
    assert judged("a.pdf", inner).sightings
    clean = judged("a.pdf", attached(zipped({"b.pdf": attached(made(MASKED))})))
    assert clean.sightings == ()


NUMBERS = {
    "a whole number": (f"<c><v>{BARE}</v></c>", ""),
    "in scientific notation": ("<c><v>9.8765432E8</v></c>", ""),
    "with a fraction of nothing": (f"<c><v>{BARE}.0</v></c>", ""),
    "without the zeros at its front": ("<c><v>123456</v></c>", ""),
    "dressed by its format": ('<c s="1"><v>78051120</v></c>', styled("000\\-00\\-0000")),
    "over three cells": ("<c><v>0</v></c><c><v>00123</v></c><c><v>456</v></c>", ""),
}


@pytest.mark.parametrize("how", NUMBERS)
def test_a_number_that_a_sheet_holds_as_a_number_is_seen(how: str) -> None:
    cells, styles = NUMBERS[how]
    verdict = judged("a.xlsx", xlsx(cells, styles=styles))
    assert verdict.sightings
    assert not verdict.unread


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("a.rtf", rb"{\rtf1 \u-10179?\u-8704? Dear client}"),
        ("a.json", b'{"note": "\\ud83d alone"}'),
        ("a.html", b"<p>&#xD800; &#x1F600; &bogus;</p>"),
        ("a.txt", "Dear client \U0001f600 é \u202e".encode()),
        ("a.txt", "Sehr geehrte Frau Müller, Straße".encode("latin-1")),
        ("a.eml", mail("é \U0001f600", ("\U0001f600.txt", b"nothing here"))),
        ("a.eml", b"From: \xff\xfe\nTo: b\nSubject: =?bogus?Q?=ff?= =?utf-8?B?!!?=\n\nDear \xff"),
        ("a.svg", b"<svg xmlns='http://www.w3.org/2000/svg'><text>Dear</text></svg>"),
        ("Makefile", b"all:\n\techo done\n"),
        ("empty.txt", b""),
        ("short.bin", b"\0\1\2"),
    ],
)
def test_odd_letters_and_plain_files_are_clean(name: str, data: bytes) -> None:
    verdict = judged(name, data)
    assert (verdict.sightings, verdict.unread) == ((), ())


def test_amounts_and_dates_of_a_sheet_are_clean() -> None:
    cells = "<c><v>45011</v></c><c><v>1234.56</v></c><c><v>0.30000000000000004</v></c>"
    verdict = judged("a.xlsx", xlsx(cells + "<c><v>61250</v></c>"))
    assert verdict.judgement is Judgement.CLEAN


@pytest.mark.parametrize(
    "table", ["a,9.87654320E+08\n", "a,123456\n", "a,0.00123456E8,000-12-3456\n"]
)
def test_a_table_that_a_spreadsheet_saved_is_read_as_numbers(table: str) -> None:
    assert judged("a.csv", table.encode()).sightings

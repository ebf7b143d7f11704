"""Carriers that hide, lie or explode: held, in bounded memory, with the reason told."""

import io
import os
import zipfile
from pathlib import Path

import pytest
from outbound_carriers import (
    docx,
    mail,
    message_file,
    nested_mail,
    packed,
    picture,
    saved_mail,
    tarred,
    xlsx,
    zipped,
)
from outbound_pages import page_pdf
from PIL import Image
from test_whole_folders import locked_pdf

from packets.base.limits import DEFAULT_LIMITS
from packets.base.secret import Secret
from packets.identifiers.kinds import Kind, KnownNumber, MaskPolicy
from packets.outbound.any_file import check_file
from packets.outbound.carriers.compound import unpacked_rich_text
from packets.outbound.carriers.found import Budget
from packets.outbound.contents import Contents
from packets.outbound.hunting import Hunter
from packets.outbound.picture_hunt import PictureHunter
from packets.outbound.records import Judgement, Reading, Verdict
from packets.outbound.text_file import read_text_file

KNOWN = (KnownNumber(Kind.SSN, Secret("000123456")),)


def judged(name: str, data: bytes, **how: object) -> Verdict:
    return check_file(data, name=name, known=KNOWN, policy=MaskPolicy(), **how)  # type: ignore[arg-type]


def held_for(words: str, name: str, data: bytes) -> None:
    verdict = judged(name, data)
    assert verdict.judgement is Judgement.HELD
    assert any(words in place for place in verdict.unread), verdict.unread


def within(budget: Budget, name: str, data: bytes) -> tuple[str, ...]:
    """What stays unread under a small budget."""

    def no_pdf(data: bytes, name: str) -> tuple[tuple[Reading, ...], tuple[str, ...]]:
        raise AssertionError

    hunter = Hunter(KNOWN, MaskPolicy())
    with PictureHunter(hunter) as pictures:
        readings = Contents(hunter, pictures, DEFAULT_LIMITS, no_pdf, budget).readings(name, data)
    return tuple(words for reading in readings for words in reading.unread)


def test_a_mail_nested_200_deep_is_held() -> None:
    held_for("beyond 8 levels", "a.eml", nested_mail(200))


def test_a_mail_nested_thousands_deep_is_held() -> None:
    held_for("more parts inside parts", "a.eml", nested_mail(20_000))


def test_a_mail_nested_a_few_deep_is_read() -> None:
    assert judged("a.eml", nested_mail(5)).sightings


def test_archives_inside_archives_end_at_the_stated_depth() -> None:
    data = b"the number is 666-12-3457"
    for _ in range(20):
        data = zipped({"a.zip": data})
    held_for("beyond 8 levels", "a.zip", data)


def test_a_bomb_is_not_unpacked_beyond_the_budget() -> None:
    bomb = zipped({"a.txt": b"0" * 3_000_000})
    assert len(bomb) < 10_000
    assert within(Budget(each=1_000_000), "a.zip", bomb)
    assert within(Budget(each=1_000_000), "a.gz", packed(b"0" * 3_000_000, "gz"))
    assert within(Budget(each=1_000_000), "a.xz", packed(b"0" * 3_000_000, "xz"))
    assert within(Budget(each=1_000_000), "a.tar", tarred({"a": b"0" * 3_000_000}))


def test_many_small_parts_share_one_budget() -> None:
    members = {f"{number}.txt": b"0" * 400_000 for number in range(10)}
    assert within(Budget(total=1_000_000), "a.zip", zipped(members))
    assert within(Budget(parts=5), "a.zip", zipped(members))
    assert not within(Budget(), "a.zip", zipped(members))


def test_a_text_beyond_the_limit_is_held() -> None:
    assert within(Budget(text=1000), "a.txt", b"Dear client " * 100)
    assert not within(Budget(text=1200), "a.txt", b"Dear client " * 100)


@pytest.mark.parametrize("before", range(980, 1020))
def test_a_number_over_the_border_of_two_windows_is_seen(
    before: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("packets.outbound.carriers.text._WHOLE", 1000)
    monkeypatch.setattr("packets.outbound.carriers.text._OVERLAP", 100)
    data = b"x" * (before - 1) + b" 666 12 3457 " + b"y " * 900
    assert judged("a.log", data).sightings


def test_a_member_whose_size_is_a_lie_is_held() -> None:
    data = bytearray(zipped({"a.txt": b"0" * 3_000_000}))
    at = data.rindex(b"PK\x01\x02") + 24
    data[at : at + 4] = (10).to_bytes(4, "little")
    assert judged("a.zip", bytes(data)).judgement is Judgement.HELD


def test_a_member_that_the_directory_does_not_name_is_held() -> None:
    hidden = zipped({"b.txt": "the number is 666-12-3457 " * 9})
    held_for("belong to no member", "a.zip", hidden[: hidden.index(b"PK\x01\x02")] + zipped({}))
    held_for("belong to no member", "a.zip", hidden + zipped({"a.txt": "nothing"}))


def test_a_locked_member_is_held() -> None:
    data = bytearray(zipped({"a.txt": "nothing"}))
    for sign, offset in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        data[data.index(sign) + offset] |= 1
    held_for("locked", "a.zip", bytes(data))


def test_a_cut_archive_is_held() -> None:
    for name, data in (
        ("a.zip", zipped({"a.txt": os.urandom(5000)})),
        ("a.gz", packed(os.urandom(5000), "gz")),
        ("a.bz2", packed(os.urandom(5000), "bz2")),
        ("a.xz", packed(os.urandom(5000), "xz")),
        ("a.msg", saved_mail(x1000001F=b"a\0" * 3000)),
    ):
        assert judged(name, data[: len(data) // 2]).judgement is Judgement.HELD, name


def test_an_archive_behind_a_picture_or_a_pdf_is_found() -> None:
    hidden = zipped({"b.txt": "the number is 666-12-3457"})
    assert judged("a.png", picture("nothing") + hidden).sightings
    held_for("behind the end", "a.png", picture("nothing") + b"other bytes behind the end")
    held_for("behind the PDF", "a.pdf", page_pdf() + hidden)


def test_a_number_in_the_name_of_a_member_is_seen_and_not_repeated() -> None:
    for data in (zipped({"666-12-3457.txt": "x" * 9}), tarred({"666-12-3457/": b""})):
        verdict = judged("a.zip" if data[:2] == b"PK" else "a.tar", data)
        assert "name of a file inside" in {seen.place for seen in verdict.sightings}
        assert "3457" not in repr(verdict)
    attached = judged("a.eml", mail("x", ("666-12-3457.txt", b"nothing here")))
    assert attached.sightings
    assert "3457" not in repr(attached)


def test_random_digits_of_a_mail_are_no_card() -> None:
    random = b"=_4111111111111111=="
    head = b"From: a@example.com\nSubject: x\nMessage-ID: <4111111111111111@example.com>\n"
    head += b'MIME-Version: 1.0\nContent-Type: multipart/mixed; boundary="' + random + b'"\n\n'
    data = head + b"--" + random + b"\n\nDear client\n--" + random + b"--\n"
    assert judged("a.eml", data).judgement is Judgement.CLEAN
    assert judged("a.eml", data.replace(b"Dear client", b"4111 1111 1111 1111")).sightings
    assert judged("a.eml", data.replace(b"4111111111111111@", b"000123456@")).sightings


def test_a_number_in_a_comment_of_an_archive_is_seen() -> None:
    assert judged("a.zip", zipped({"a.txt": "nothing"}, b"of 666-12-3457")).sightings


def test_a_locked_pdf_in_a_mail_opens_with_the_key_of_its_name() -> None:
    data = mail("x", ("a.pdf", locked_pdf()))
    held_for("asks for a password", "m.eml", data)
    keys = {"a.pdf": Secret("five plain words")}
    assert judged("m.eml", data, key_of=keys.get).judgement is Judgement.CLEAN
    opened = judged("m.eml", data, passphrase=Secret("five plain words"))
    assert opened.judgement is Judgement.CLEAN


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("a.doc", message_file({"WordDocument": bytes(range(256)) * 2})),
        ("a.doc", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(2000)),
        ("a.docx", docx("x", extra={"word/vbaProject.bin": bytes(range(256))})),
        ("a.docx", docx("x", extra={"word/media/image1.emf": bytes(range(1, 200))})),
        ("a.xml", b"<!DOCTYPE a [<!ENTITY b '66'>]><a>&b;6-12-3457</a>"),
        ("a.eml", mail().replace(b"base64", b"x-own", 1)),
        ("a.txt", b"begin 644 a.zip\n#0V%T\n`\nend\n"),
        ("a.asc", b"-----BEGIN PGP MESSAGE-----\n\nabc\n"),
        ("a.rtf", b"{\\rtf1 {\\object\\objemb{\\*\\objdata 0105000002000000ff}}}"),
        ("a.7z", b"7z\xbc\xaf\x27\x1c" + bytes(range(256))),
        ("a.mp3", b"ID3\x04" + bytes(range(256))),
    ],
)
def test_what_no_reader_knows_is_held(name: str, data: bytes) -> None:
    verdict = judged(name, data)
    assert verdict.judgement is Judgement.HELD
    assert verdict.unread


def test_packed_rich_text_of_a_saved_mail_is_read() -> None:
    words = rb"{\rtf1 the number is 666-12-3457}"
    stored = (len(words) + 12).to_bytes(4, "little") + len(words).to_bytes(4, "little")
    assert judged("a.msg", saved_mail(x10090102=stored + b"MELA" + bytes(4) + words)).sightings
    # The published example of MS-OXRTFCP, section 4.1.
    packed_words = bytes.fromhex(
        "2d0000002b0000004c5a4675f1c5c7a703000a007263706731323542320af32068656c09002062770"
        "5b06c647d0a800fa0"
    )
    assert (
        unpacked_rich_text(packed_words) == rb"{\rtf1\ansi\ansicpg1252\pard hello world}" + b"\r\n"
    )


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("a.xml", b"<a " + b"b" * 300_000 + b">"),
        ("a.xml", b"<a" + b" b " * 100_000 + b">"),
        ("a.html", b"<!--" * 100_000),
        ("a.html", b"<![CDATA[" * 50_000),
        ("a.html", b"<" * 300_000),
        ("a.xlsx", xlsx("<c><v>1" * 50_000)),
        ("a.xlsx", xlsx("<c>" * 50_000, "<si>" * 50_000, "<cellXfs>" * 50_000)),
        ("a.eml", mail(subject="x") + b"=?a?q?" * 50_000),
        ("a.eml", b"Subject: " + b"=?a?q?" * 50_000 + b"\nFrom: a\n\nDear client"),
        ("a.eml", b"From: a\nTo: b\nContent-Type: multipart/mixed; " + b'a="b;' * 50_000 + b"\n\n"),
        ("a.rtf", b"{\\rtf1" + b"{" * 200_000),
        ("a.rtf", b"{\\rtf1" + b"\\u" * 100_000),
        ("a.json", b"[" * 300_000),
        ("a.txt", b"A" * 300_000),
        ("a.csv", b"1," * 150_000),
    ],
    ids=range(15),
)
def test_texts_made_to_take_for_ever_end(name: str, data: bytes) -> None:
    assert judged(name, data).readers


@pytest.mark.parametrize("number", ["666 12 3457", "987654320"])
@pytest.mark.parametrize("between", [" ", "\n", "\n\n"])
def test_a_number_behind_a_long_word_is_seen(number: str, between: str) -> None:
    data = ("abcdeFGH" * 9 + between + number + between + "words").encode()
    assert judged("a.txt", data).sightings
    assert any(reading.sightings for reading in read_text_file(data, Hunter((), MaskPolicy())))
    assert judged("a.txt", number.replace(" ", "").encode() * 5 + b" " + number.encode()).sightings


def test_bytes_behind_an_archive_are_found() -> None:
    held_for("behind the end", "a.tar", tarred({"a.txt": b"nothing"}) + b"x" * 600)
    for how in ("gz", "bz2", "xz"):
        data = packed(b"nothing here", how)
        assert judged(f"a.{how}", data + data).judgement is Judgement.CLEAN
        assert judged(f"a.{how}", data + b"other bytes").judgement is Judgement.HELD


def test_deep_greys_are_read() -> None:
    grey = Image.open(io.BytesIO(picture("No. 666-12-3457"))).convert("I")
    out = io.BytesIO()
    grey.point(lambda value: value * 100 + 20_000).convert("I;16").save(out, "PNG")
    assert judged("a.png", out.getvalue()).sightings


def test_text_in_an_older_office_file_is_read() -> None:
    assert judged("a.doc", message_file({"Text": b"number 666-12-3457"})).sightings
    assert judged("a.doc", message_file({"Text": b"Dear client"})).judgement is Judgement.CLEAN


def test_a_sheet_under_another_name_is_a_sheet() -> None:
    sheet = '<worksheet><row><c s="1"><v>78051120</v></c></row></worksheet>'
    styles = '<styleSheet><numFmt numFmtId="9" formatCode="000-00-0000"/><cellXfs><xf/>'
    styles += '<xf numFmtId="9"/></cellXfs></styleSheet>'
    assert judged("a.xlsx", zipped({"odd/a.xml": sheet, "odd/b.xml": styles})).sightings


def test_names_of_any_bytes_are_judged(tmp_path: Path) -> None:
    archive = tmp_path / "a.zip"
    with zipfile.ZipFile(archive, "w") as made:
        made.writestr("a\nb\x1b[31m.txt", "nothing here")
    verdict = judged("a.zip", archive.read_bytes())
    assert verdict.judgement is Judgement.CLEAN
    told = judged("a.zip", zipped({"a\nb\x1b[31m.bin": bytes(range(256))}))
    assert all(place.isprintable() for place in told.unread)

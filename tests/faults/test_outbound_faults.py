"""Damaged and hostile files: held with words or refused, within bounds, and never called clean."""

import io
import zlib
from pathlib import Path

import pikepdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packets.base.errors import Damaged, InputRefused, Locked, OverLimit
from packets.base.limits import Limits
from packets.base.secret import Secret
from packets.identifiers.kinds import Kind, KnownNumber, MaskPolicy
from packets.outbound.check import check_pdf
from packets.outbound.records import Judgement, Verdict

KNOWN = (KnownNumber(Kind.SSN, Secret("000123456")),)
SMALL = Limits(stream_bytes=1_000_000, file_bytes=2_000_000, objects=5_000, pages=50)


def judged(data: bytes | Path, passphrase: Secret | None = None, limits: Limits = SMALL) -> Verdict:
    return check_pdf(
        data,
        name="a.pdf",
        passphrase=passphrase,
        known=KNOWN,
        policy=MaskPolicy(),
        limits=limits,
    )


def one_page(**encryption: object) -> bytes:
    pdf = pikepdf.new()
    pdf.add_blank_page()
    pdf.pages[0].Contents = pdf.make_stream(b"BT ET")
    out = io.BytesIO()
    if encryption:
        pdf.save(out, encryption=pikepdf.Encryption(**encryption))
    else:
        pdf.save(out, deterministic_id=True)
    return out.getvalue()


def with_object(body: bytes) -> bytes:
    return one_page() + b"\n900 0 obj\n" + body + b"\nendobj\n"


def stream(body: bytes, entries: bytes) -> bytes:
    return b"<< %s /Length %d >>\nstream\n%s\nendstream" % (entries, len(body), body)


def bomb(size: int) -> bytes:
    return zlib.compress(bytes(size))


def test_the_plain_page_is_clean() -> None:
    assert judged(one_page()).judgement is Judgement.CLEAN


@pytest.mark.parametrize(
    "data",
    [b"", b"hello", b"%PDF-1.7\n", bytes(5000), b"%PDF-1.7\n1 0 obj\n<< >>\nendobj\n"],
)
def test_what_is_no_pdf_is_refused(data: bytes) -> None:
    with pytest.raises(Damaged):
        judged(data)


def test_a_missing_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(Damaged):
        judged(tmp_path / "gone.pdf")


def test_a_file_over_the_limit_is_refused(tmp_path: Path) -> None:
    large = tmp_path / "large.pdf"
    large.write_bytes(one_page() + bytes(2_000_000))
    with pytest.raises(OverLimit):
        judged(large)


def test_a_locked_file_is_refused_without_its_password() -> None:
    with pytest.raises(Locked):
        judged(one_page(user="five plain words", owner="x", R=6))


def test_a_wrong_password_is_refused() -> None:
    with pytest.raises(Locked) as caught:
        judged(one_page(user="five plain words", owner="x", R=6), Secret("other words"))
    assert "words" not in str(caught.value)


HELD = {
    "a stream that inflates beyond the limit": stream(bomb(3_000_000), b"/Filter /FlateDecode"),
    "compressed data that breaks off": stream(
        zlib.compress(b"abc" * 999)[:-9], b"/Filter /FlateDecode"
    ),
    "data that is not compressed at all": stream(b"not deflate", b"/Filter /FlateDecode"),
    "a filter that nobody knows": stream(b"abc", b"/Filter /Unheard"),
    "a filter that is no name": stream(b"abc", b"/Filter 7"),
    "too many filters": stream(b"00>", b"/Filter [" + b"/ASCIIHexDecode " * 20 + b"]"),
    "letters in hexadecimal data": stream(b"0x>", b"/Filter /ASCIIHexDecode"),
    "a broken ASCII-85 stream": stream(b"zz{{{~>", b"/Filter /ASCII85Decode"),
    "an LZW stream that breaks off": stream(b"\x80\x0b", b"/Filter /LZWDecode"),
    "run lengths without an end": stream(b"\x05abcdef", b"/Filter /RunLengthDecode"),
    "predictor settings out of range": stream(
        zlib.compress(b"abc"), b"/Filter /FlateDecode /DecodeParms << /Predictor 99 >>"
    ),
    "a predictor row of no kind": stream(
        zlib.compress(b"\x09abc"),
        b"/Filter /FlateDecode /DecodeParms << /Predictor 12 /Columns 3 >>",
    ),
    "a stream kept in another file": stream(b"", b"/F (other.bin)"),
    "an object that is no object": b"<< /A",
    "a key without a value": b"<< /A /B /C >>",
    "a key that is no name": b"<< 1 2 >>",
    "a word that means nothing": b"hello",
    "a string without an end": b"(abc",
    "brackets that do not match": b"[ 1 >>",
    "arrays inside arrays": b"[" * 5_000 + b"]" * 5_000,
    "a stream without an end": b"<< /Length 5 >>\nstream\nabc",
    "an object stream without a table": stream(b"abc", b"/Type /ObjStm"),
    "an object stream whose table lies": stream(b"1 0 2", b"/Type /ObjStm /N 5 /First 3"),
    "an object stream with a broken object": stream(b"7 0 <<", b"/Type /ObjStm /N 1 /First 4"),
    "an attachment of no known kind": stream(bytes(range(256)), b"/Type /EmbeddedFile"),
}


@pytest.mark.parametrize("what", HELD)
def test_what_cannot_be_read_is_not_clean(what: str) -> None:
    verdict = judged(with_object(HELD[what]))
    assert verdict.judgement is Judgement.HELD
    assert verdict.unread != ()


@pytest.mark.parametrize("gap", [b" " * 300, b"%" + b"x" * 300 + b"\n", b"\n" * 80])
def test_an_object_with_a_strange_beginning_is_held(gap: bytes) -> None:
    verdict = judged(one_page() + b"\n900" + gap + b"0 obj\n(note)\nendobj\n")
    assert verdict.judgement is Judgement.HELD


def test_many_small_bombs_together_are_held() -> None:
    body = stream(bomb(900_000), b"/Filter /FlateDecode")
    data = one_page() + b"".join(b"\n%d 0 obj\n%s\nendobj\n" % (n, body) for n in range(900, 1000))
    assert judged(data).judgement is Judgement.HELD


def test_streams_that_lie_over_one_another_are_refused() -> None:
    heads = b"".join(b"%d 0 obj <<>> stream\n" % n for n in range(900, 4000))
    with pytest.raises(OverLimit):
        judged(one_page() + heads + bytes(100_000) + b"\nendstream endobj\n")


def nested_forms(depth: int, times: int, on_the_page: int) -> bytes:
    """Forms that each draw the next one several times."""
    pdf = pikepdf.new()
    pdf.add_blank_page()
    form = pdf.make_stream(b"0 0 1 1 re f")
    for _ in range(depth):
        outer = pdf.make_stream(b"/F Do " * times)
        outer.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(F=form))
        for each in (form, outer):
            each.Type, each.Subtype = pikepdf.Name.XObject, pikepdf.Name.Form
            each.BBox = [0, 0, 9, 9]
        form = outer
    page = pdf.pages[0]
    page.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(F=form))
    page.Contents = pdf.make_stream(b"/F Do " * on_the_page)
    out = io.BytesIO()
    pdf.save(out, deterministic_id=True)
    return out.getvalue()


@pytest.mark.parametrize("shape", [(12, 10, 1), (30, 2, 1), (2, 30, 1000)])
def test_forms_that_multiply_are_refused(shape: tuple[int, int, int]) -> None:
    with pytest.raises(OverLimit):
        judged(nested_forms(*shape))


def test_forms_inside_forms_are_no_fault() -> None:
    assert judged(nested_forms(5, 2, 3)).judgement is Judgement.CLEAN


def test_too_many_objects_are_refused() -> None:
    with pytest.raises(OverLimit):
        judged(one_page() + b"".join(b"%d 0 obj null endobj\n" % n for n in range(9000)))


@pytest.mark.parametrize(
    "noise",
    [
        b"1 " * 200_000,
        b"1 0 " * 200_000,
        b"1%" * 200_000,
        b"1 0 obj" * 700,
        b"(" * 300_000,
        b"<" * 300_000,
        b"<<" * 200_000,
        b"BI ID " * 100_000,
        b"trailer <<" * 20_000,
        b"\\" * 300_000,
    ],
)
def test_noise_between_objects_ends(noise: bytes) -> None:
    for data in (one_page() + noise, with_object(stream(noise, b"")), with_object(noise)):
        try:
            assert judged(data).sightings == ()
        except InputRefused:
            continue


def test_circles_end() -> None:
    page = b"<< /Type /Pages /Kids [ 900 0 R ] /Parent 900 0 R /Length 900 0 R /Filter 900 0 R >>"
    assert judged(with_object(page)).judgement is Judgement.CLEAN


def test_a_pdf_inside_a_pdf_inside_a_pdf_ends_in_held() -> None:
    data = one_page()
    for _ in range(8):
        outer = pikepdf.open(io.BytesIO(data))
        inner = io.BytesIO()
        outer.attachments["inner.pdf"] = data
        outer.save(inner, deterministic_id=True)
        data = inner.getvalue()
    verdict = judged(data)
    assert verdict.judgement is Judgement.HELD
    assert any("files inside files" in words for words in verdict.unread)


def test_a_locked_file_inside_a_file_is_held() -> None:
    pdf = pikepdf.open(io.BytesIO(one_page()))
    pdf.attachments["inner.pdf"] = one_page(user="five plain words", owner="x", R=6)
    out = io.BytesIO()
    pdf.save(out, deterministic_id=True)
    assert judged(out.getvalue()).judgement is Judgement.HELD


def test_an_object_in_the_clear_inside_an_encrypted_file_is_held() -> None:
    data = one_page(user="five plain words", owner="x", R=6)
    verdict = judged(data + b"\n900 0 obj\n(in the clear)\nendobj\n", Secret("five plain words"))
    assert verdict.judgement is Judgement.HELD


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_a_damaged_file_raises_only_our_refusals(data: st.DataObject) -> None:
    sound = one_page()
    at = data.draw(st.integers(0, len(sound) - 1))
    cut = data.draw(st.integers(0, 40))
    noise = data.draw(st.binary(max_size=40))
    try:
        verdict = judged(sound[:at] + noise + sound[at + cut :])
    except InputRefused:
        return
    assert isinstance(verdict, Verdict)


@settings(max_examples=60, deadline=None)
@given(st.binary(max_size=400))
def test_any_object_body_is_read_or_told(body: bytes) -> None:
    try:
        judged(with_object(body))
    except InputRefused:
        return

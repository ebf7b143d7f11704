"""Broken and malicious documents: our own errors or a result, and in bounded time."""

import io
import random
import signal

import pikepdf
import pytest
from masking_run import known_number, mask
from pikepdf import Array, Dictionary, Name, String
from planted_fonts import TWO_BYTE_CODES, composite, true_type_page, type_three
from planted_pages import NUMBER, as_bytes, blank_sheet, fill_page, form, sheet, standard_font
from planted_pictures import drawn, flate, picture_sheet, with_soft_mask

from packets.base.errors import PacketsError

KNOWN = [known_number(NUMBER)]
TEXT = b"BT /F1 12 Tf 50 300 Td (" + NUMBER.encode() + b") Tj ET"
SECONDS = 30


@pytest.fixture(autouse=True)
def bounded():
    """A document that keeps us longer than this fails its test, on whatever machine."""

    def too_long(*_):
        raise TimeoutError

    before = signal.signal(signal.SIGALRM, too_long)
    signal.alarm(SECONDS)
    yield
    signal.alarm(0)
    signal.signal(signal.SIGALRM, before)


def masked_or_refused(pdf: bytes) -> None:
    try:
        result = mask(pdf, KNOWN)
    except PacketsError:
        return
    with pikepdf.open(io.BytesIO(result.pdf)) as document:
        assert len(document.pages) == result.pages


def self_drawing() -> bytes:
    document = blank_sheet()
    page = document.pages[0].obj
    drawing = document.make_indirect(form(TEXT + b" /X1 Do /X1 Do")(document))
    drawing.Resources.XObject = Dictionary(X1=drawing)
    fill_page(document, page, b"/X1 Do", {}, {"XObject": {"X1": lambda _: drawing}})
    return as_bytes(document)


def mutual_drawing() -> bytes:
    document = blank_sheet()
    one = document.make_indirect(form(TEXT + b" /X2 Do")(document))
    other = document.make_indirect(form(b"/X1 Do /X1 Do")(document))
    one.Resources.XObject, other.Resources.XObject = Dictionary(X2=other), Dictionary(X1=one)
    fill_page(document, document.pages[0].obj, b"/X1 Do", {}, {"XObject": {"X1": lambda _: one}})
    return as_bytes(document)


def chain(depth: int, times: int = 1) -> bytes:
    """Forms inside forms; each draws the next `times` over."""
    document = blank_sheet()
    inner = document.make_indirect(form(TEXT)(document))
    for _ in range(depth):
        outer = document.make_indirect(form(b"/X1 Do " * times)(document))
        outer.Resources.XObject = Dictionary(X1=inner)
        inner = outer
    fill_page(document, document.pages[0].obj, b"/X1 Do", {}, {"XObject": {"X1": lambda _: inner}})
    return as_bytes(document)


def looping_soft_mask() -> bytes:
    document = blank_sheet()
    group = document.make_indirect(form(TEXT + b" /G1 gs")(document))
    state = document.make_indirect(Dictionary(SMask=Dictionary(S=Name.Alpha, G=group)))
    group.Resources.ExtGState = Dictionary(G1=state)
    fill_page(
        document,
        document.pages[0].obj,
        b"/G1 gs " + TEXT,
        {},
        {"ExtGState": {"G1": lambda _: state}},
    )
    return as_bytes(document)


def looping_pattern() -> bytes:
    document = blank_sheet()
    tile = document.make_indirect(
        form(b"/Pattern cs /P1 scn 0 0 9 9 re f " + TEXT, PatternType=1, PaintType=1,
             TilingType=1, XStep=400, YStep=400)(document)
    )  # fmt: skip
    tile.Resources.Pattern = Dictionary(P1=tile)
    content = b"/Pattern cs /P1 scn 0 0 400 400 re f"
    fill_page(document, document.pages[0].obj, content, {}, {"Pattern": {"P1": lambda _: tile}})
    return as_bytes(document)


def looping_fonts() -> bytes:
    document = blank_sheet()
    font = document.make_indirect(composite(document))
    font.DescendantFonts = Array([font])
    font.Encoding = font
    content = b"BT /F2 12 Tf 50 300 Td <" + TWO_BYTE_CODES.hex().encode() + b"> Tj ET"
    fill_page(document, document.pages[0].obj, content, {"F2": lambda _: font}, {})
    return as_bytes(document)


def picture_that_masks_itself() -> bytes:
    document = blank_sheet()
    image = document.make_indirect(flate(document, drawn(), Name.DeviceGray))
    image.SMask = image
    page = document.pages[0].obj
    page.Resources = Dictionary(XObject=Dictionary(Im1=image))
    page.Contents = document.make_stream(b"q 300 0 0 100 50 200 cm /Im1 Do Q")
    return as_bytes(document)


LOOPS = {
    "a form that draws itself": self_drawing,
    "forms that draw one another": mutual_drawing,
    "thirty forms deep": lambda: chain(30),
    "ninety forms deep": lambda: chain(90),
    "a tree of drawings": lambda: chain(18, 2),
    "a soft mask in itself": looping_soft_mask,
    "a pattern in itself": looping_pattern,
    "fonts in one another": looping_fonts,
    "a picture that masks itself": picture_that_masks_itself,
}


@pytest.mark.parametrize("make", LOOPS.values(), ids=LOOPS.keys())
def test_loops_and_trees_end(make):
    masked_or_refused(make())


CONTENTS = {
    "nothing": b"",
    "no end of strings": b"(" * 5000,
    "no end of arrays": b"[" * 5000 + TEXT,
    "no end of dictionaries": b"<<" * 3000 + TEXT,
    "only saves": b"q " * 20000 + TEXT,
    "only restores": b"Q " * 20000 + TEXT,
    "operators without operands": b"Td Tm Tf Tj TJ ' \" cm Do gs scn sh Tc Tw Tz TL Ts " + TEXT,
    "operands of other types": b"/A /B Td [1] Tm (x) Tc <<>> Tf [[(9)]] TJ 5 Do " + TEXT,
    "numbers out of range": b"1e99 0 0 1e99 0 0 cm 99999999999999999999 Tc " + TEXT,
    "a matrix of zeros": b"0 0 0 0 0 0 cm " + TEXT,
    "an inline picture without end": TEXT + b" BI /W 900 /H 900 /BPC 8 /CS /G ID abc",
    "bytes": bytes(range(256)) * 20,
}


@pytest.mark.parametrize("content", CONTENTS.values(), ids=CONTENTS.keys())
def test_broken_content_is_taken_or_refused(content):
    masked_or_refused(sheet(content))


@pytest.mark.parametrize("data", [b"", b"%PDF-1.7", b"%PDF-1.7\ntrailer<<>>\n%%EOF", b"\0" * 500])
def test_what_is_no_document_is_refused(data):
    with pytest.raises(PacketsError):
        mask(data, KNOWN)


SOURCES = {
    "text and a form": lambda: sheet(
        TEXT + b" /X1 Do", resources={"XObject": {"X1": form(TEXT, Group=Dictionary(S=Name.A))}}
    ),
    "fonts": lambda: sheet(
        b"BT /F2 12 Tf 50 300 Td <0001000200030004> Tj /F3 9 Tf <0102> Tj ET",
        fonts={"F2": composite, "F3": type_three},
    ),
    "embedded font": true_type_page,
    "picture": lambda: picture_sheet(with_soft_mask),
    "colours": lambda: sheet(
        b"/CS1 cs 0.5 scn 0 0 9 9 re f /G1 gs " + TEXT,
        resources={
            "ColorSpace": {"CS1": lambda d: Array([Name.Indexed, Name.DeviceRGB, 1,
                                                   String(b"\0\0\0abc")])},
            "ExtGState": {"G1": lambda d: Dictionary(Font=Array([standard_font(d), 9]), CA=1)},
        },
    ),
}  # fmt: skip
VALUES = [
    Name.Odd, -1, 0, 10**12, True, String("x"), String(b"\xff\xfe"), Array([]), Dictionary(),
    Array([Array([Array([])])]), Name("/"),
]  # fmt: skip


def mutated(pdf: bytes, seed: int) -> bytes:
    """Some values of some objects exchanged for others or taken away."""
    chance = random.Random(seed)
    with pikepdf.open(io.BytesIO(pdf)) as document:
        holders = [
            item
            for item in document.objects
            if isinstance(item, (Dictionary, pikepdf.Stream)) and item.get("/Type") != Name.Catalog
            and item.get("/Type") != Name.Pages
        ]  # fmt: skip
        for _ in range(chance.randint(1, 4)):
            holder = chance.choice(holders)
            keys = sorted(str(key) for key in holder.keys() if key != "/Length")  # noqa: SIM118
            if not keys:
                continue
            key = chance.choice(keys)
            if chance.random() < 0.3:
                del holder[key]
            elif chance.random() < 0.2:
                holder[key] = chance.choice(holders)
            else:
                holder[key] = chance.choice(VALUES)
        return as_bytes(document)


@pytest.mark.parametrize("seed", range(40))
@pytest.mark.parametrize("source", SOURCES.values(), ids=SOURCES.keys())
def test_mistyped_and_missing_keys_give_a_result_or_our_own_error(source, seed):
    masked_or_refused(mutated(source(), seed))

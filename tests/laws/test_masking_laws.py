"""What holds for every document: numbers go, look-alikes stay, and twice is once."""

import io

import pikepdf
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from masking_run import known_number, mask
from other_readers import by_pdfium, by_pdfminer
from planted_pages import as_bytes, blank_sheet, fill_page, form, standard_font

from packets.identifiers.find import find_in_text
from packets.identifiers.kinds import ALL_KINDS, MaskPolicy

NUMBERS = ["000-12-3456", "666-45-6789", "987-65-4321", "078-05-1120", "219-09-9999"]
KNOWN = [known_number(number) for number in NUMBERS]
LOOK_ALIKES = [
    "routing number 011000015", "phone (555) 010-0199", "ZIP 20500-0003", "2,204,617.85",
    "OMB No. 1545-0074", "03/14/2026", "page 12 of 345", "Form 1099-INT", "tax year 2025",
    "XXX-XX-4321", "***-**-1120",
]  # fmt: skip
FACES = ["Helvetica", "Times-Roman", "Courier", "Helvetica-Bold"]
MATRICES = ["1 0 0 1", "0.8 0 0 1", "1 0 0 0.9", "0.995 0.0998 -0.0998 0.995", "1 0 0.2 1"]


def kerned(number: str, gap: int) -> bytes:
    return b"[" + b" ".join(b"(%c) %d" % (ord(char), gap) for char in number) + b"] TJ"


def single(number: str, _: int) -> bytes:
    return b" ".join(b"(%c) Tj" % ord(char) for char in number)


def plain(number: str, _: int) -> bytes:
    return b"(" + number.encode() + b") Tj"


written = st.tuples(
    st.sampled_from(NUMBERS),
    st.sampled_from(["-", "", " "]),
    st.sampled_from([kerned, single, plain]),
    st.integers(-40, 60),
)
row = st.tuples(
    st.integers(0, 3), st.sampled_from(MATRICES), st.sampled_from([8, 10, 12]), st.booleans()
)
numbered = st.tuples(written, row)
others = st.lists(
    st.tuples(st.sampled_from(LOOK_ALIKES), row), max_size=4, unique_by=lambda t: t[0]
)


def place(show: bytes, at: int, setting: tuple[int, str, int, bool]) -> bytes:
    face, matrix, size, _ = setting
    return b"BT /F%d %d Tf %s 40 %d Tm %s ET" % (face, size, matrix.encode(), 370 - 40 * at, show)


def document_of(rows: list[tuple[bytes, tuple[int, str, int, bool]]]) -> bytes:
    document = blank_sheet()
    fonts = {f"F{k}": (lambda d, face=face: standard_font(d, face)) for k, face in enumerate(FACES)}
    direct, formed = [], []
    for at, (show, setting) in enumerate(rows):
        (formed if setting[3] else direct).append(place(show, at, setting))
    drawing = form(b"\n".join(formed), fonts=fonts)
    content = b"\n".join(direct) + b"\n/X1 Do"
    fill_page(document, document.pages[0].obj, content, fonts, {"XObject": {"X1": drawing}})
    return as_bytes(document)


def rows_of(numbers, look_alikes):
    shown = [
        (show(number.replace("-", mark), gap), setting)
        for (number, mark, show, gap), setting in numbers
    ]
    shown += [(b"(" + text.replace("(", r"\(").replace(")", r"\)").encode() + b") Tj", setting)
              for text, setting in look_alikes]  # fmt: skip
    return shown


LAW = settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow],
               derandomize=True)  # fmt: skip


@LAW
@given(numbers=st.lists(numbered, min_size=1, max_size=4), look_alikes=others)
def test_after_masking_no_reader_finds_a_number_and_every_look_alike_is_there(numbers, look_alikes):
    pdf = document_of(rows_of(numbers, look_alikes))
    result = mask(pdf, KNOWN)
    assert not result.unread
    assert len(result.masks) >= len(numbers)
    text = by_pdfium(result.pdf)
    assert not find_in_text(text, KNOWN, MaskPolicy(kinds=ALL_KINDS))
    drawn = by_pdfminer(result.pdf)
    digits = "".join(char for char in drawn if char.isdigit())
    assert not any(number.replace("-", "") in digits for number in NUMBERS)
    for look_alike, _ in look_alikes:
        assert look_alike in drawn


@LAW
@given(numbers=st.lists(numbered, max_size=3), look_alikes=others)
def test_masking_what_was_masked_changes_nothing(numbers, look_alikes):
    once = mask(document_of(rows_of(numbers, look_alikes)), KNOWN)
    twice = mask(once.pdf, KNOWN)
    assert twice.masks == ()
    assert twice.unread == ()
    assert by_pdfminer(twice.pdf) == by_pdfminer(once.pdf)
    assert content_of(twice.pdf) == content_of(once.pdf)


def content_of(pdf: bytes) -> bytes:
    with pikepdf.open(io.BytesIO(pdf)) as document:
        return bytes(document.pages[0].obj.Contents.read_bytes())


@LAW
@given(numbers=st.lists(numbered, min_size=1, max_size=2), look_alikes=others)
def test_the_same_document_gives_the_same_bytes(numbers, look_alikes):
    pdf = document_of(rows_of(numbers, look_alikes))
    assert mask(pdf, KNOWN).pdf == mask(pdf, KNOWN).pdf

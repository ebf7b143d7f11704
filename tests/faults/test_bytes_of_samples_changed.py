"""Real samples with bytes changed, cut out or cut off: never a crash, never more than a minute."""

import signal
from collections.abc import Iterator
from pathlib import Path

import pytest
from hostile_files import TEXT
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from masking_run import known_number, mask
from planted_fonts import composite, true_type_page
from planted_pages import form, sheet
from planted_pictures import palette, picture_sheet

from packets.base.errors import PacketsError
from packets.identifiers.kinds import ALL_KINDS, MaskPolicy
from packets.intake.take_in import take_in
from packets.outbound.check import check_pdf

KNOWN = (known_number("987-65-4320"),)
SAMPLES = Path(__file__).parents[2] / "sample_pdfs" / "single-filer" / "documents"
SOURCES = [
    *(path.read_bytes() for path in sorted(SAMPLES.glob("*.pdf")) if path.stat().st_size < 9000),
    sheet(TEXT + b" /X1 Do", resources={"XObject": {"X1": form(TEXT)}}),
    sheet(b"BT /F2 12 Tf 50 300 Td <000100020003> Tj ET", fonts={"F2": composite}),
    true_type_page(),
    picture_sheet(palette),
]
PUT_IN = [b"<<", b">>", b"[", b"(", b" 0 R", b"1 0 R", b"4 0 R", b"99999999999", b"endobj", b"\xff"]

place = st.floats(0, 1, exclude_max=True)
change = st.tuples(st.sampled_from(["flip", "cut out", "put in", "cut off"]), place,
                   st.integers(0, 40))  # fmt: skip


@pytest.fixture(autouse=True)
def bounded() -> Iterator[None]:
    def too_long(*_: object) -> None:
        raise TimeoutError

    before = signal.signal(signal.SIGALRM, too_long)
    yield
    signal.alarm(0)
    signal.signal(signal.SIGALRM, before)


def changed(pdf: bytes, changes: list[tuple[str, float, int]]) -> bytes:
    data = bytearray(pdf)
    for how, where, number in changes:
        at = int(where * len(data))
        if how == "flip" and data:
            data[at] ^= 1 << number % 8
        elif how == "cut out":
            del data[at : at + number]
        elif how == "put in":
            data[at:at] = PUT_IN[number % len(PUT_IN)]
        elif number == 0:  # seldom: little is left of it
            del data[at:]
    return bytes(data)


@settings(
    max_examples=120,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(source=st.sampled_from(SOURCES), changes=st.lists(change, min_size=1, max_size=12))
def test_changed_bytes_give_a_result_or_our_own_error(source, changes, tmp_path):
    signal.alarm(60)
    pdf = changed(source, changes)
    file = tmp_path / "source.pdf"
    file.write_bytes(pdf)
    for run in (lambda: mask(take_in(file).pdf, KNOWN), lambda: judged(pdf)):
        try:
            run()
        except PacketsError:
            continue


def judged(pdf: bytes) -> object:
    policy = MaskPolicy(kinds=ALL_KINDS)
    return check_pdf(pdf, name="a.pdf", passphrase=None, known=KNOWN, policy=policy)

"""Hostile files are masked or refused, and checked or refused, in bounded time and room."""

import signal
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from hostile_files import HOSTILE
from masking_run import known_number, mask

from packets.base.errors import OverLimit, PacketsError
from packets.identifiers.kinds import ALL_KINDS, MaskPolicy
from packets.intake.take_in import take_in
from packets.outbound.check import check_pdf
from packets.outbound.records import Judgement

KNOWN = (known_number("987-65-4320"),)
SECONDS = 60
NUMBER = b"987-65-4320"


@pytest.fixture(autouse=True)
def bounded() -> Iterator[None]:
    """A file that keeps us longer than this fails its test, on whatever machine."""

    def too_long(*_: object) -> None:
        raise TimeoutError

    before = signal.signal(signal.SIGALRM, too_long)
    signal.alarm(SECONDS)
    yield
    signal.alarm(0)
    signal.signal(signal.SIGALRM, before)


def judged(pdf: bytes) -> Judgement:
    policy = MaskPolicy(kinds=ALL_KINDS)
    try:
        return check_pdf(pdf, name="a.pdf", passphrase=None, known=KNOWN, policy=policy).judgement
    except PacketsError:
        return Judgement.HELD


@pytest.mark.parametrize("make", HOSTILE.values(), ids=HOSTILE)
def test_a_hostile_file_is_masked_or_refused(make: Callable[[], bytes], tmp_path: Path) -> None:
    source = tmp_path / "source.pdf"
    source.write_bytes(make())
    try:
        result = mask(take_in(source).pdf, KNOWN)
    except PacketsError:
        return
    if not result.unread and judged(result.pdf) is Judgement.CLEAN:
        assert NUMBER not in result.pdf


@pytest.mark.parametrize("make", HOSTILE.values(), ids=HOSTILE)
def test_a_hostile_file_is_checked_or_refused(make: Callable[[], bytes]) -> None:
    pdf = make()
    judgement = judged(pdf)
    assert judgement is Judgement.HELD or NUMBER not in pdf


def test_more_annotations_than_promised_are_refused_by_name(tmp_path: Path) -> None:
    source = tmp_path / "source.pdf"
    source.write_bytes(HOSTILE["10,000 annotations"]())
    with pytest.raises(OverLimit):
        mask(take_in(source).pdf, KNOWN)

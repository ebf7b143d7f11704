"""Hostile files are masked or refused, and checked or refused, in bounded time and room."""

import contextlib
import os
import signal
import sys
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
CLAIMING = [name for name in HOSTILE if "picture" in name or "endless" in name]
MOST_KILOBYTES = 800_000
"""What the tests themselves have loaded included."""
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


@pytest.mark.skipif(sys.platform != "linux", reason="kilobytes are counted as Linux does")
@pytest.mark.parametrize(
    "name", [name for name in HOSTILE if "picture" in name or "endless" in name]
)
def test_what_a_file_claims_takes_no_room(name: str) -> None:
    """A copy of this process masks it, and its own peak is looked at."""
    pdf = HOSTILE[name]()
    child = os.fork()
    if not child:
        with contextlib.suppress(PacketsError):
            mask(pdf, KNOWN)
        os._exit(0)
    _, status, usage = os.wait4(child, 0)
    assert status == 0
    assert usage.ru_maxrss < MOST_KILOBYTES


def test_more_annotations_than_promised_are_refused_by_name(tmp_path: Path) -> None:
    source = tmp_path / "source.pdf"
    source.write_bytes(HOSTILE["10,000 annotations"]())
    with pytest.raises(OverLimit):
        mask(take_in(source).pdf, KNOWN)

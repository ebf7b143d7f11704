"""A long document looked at in two processes gives the verdict that one process gives."""

import io
import sys

import pytest
from PIL import Image
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen import canvas

from packets.base import alongside as alongside_module
from packets.base import shared_out as shared_module
from packets.base.errors import OverLimit
from packets.base.limits import DEFAULT_LIMITS
from packets.base.one_process import in_one_process
from packets.base.progress import Progress, Step, silent
from packets.base.secret import Secret
from packets.identifiers.kinds import Kind, KnownNumber, MaskPolicy
from packets.outbound import check as check_module
from packets.outbound import page_text_reader
from packets.outbound.check import check_pdf
from packets.outbound.objects.opened import InflationAllowance
from packets.outbound.records import Verdict

KNOWN = (KnownNumber(Kind.SSN, Secret("000123456")),)
COUNT = 9

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="no copy is made here")


@pytest.fixture(autouse=True)
def copies(monkeypatch) -> list[int]:
    """Few pages count as many; each copy that is made is noted."""
    made: list[int] = []
    real = shared_module.alongside
    monkeypatch.setattr(page_text_reader, "LONG", 4)
    monkeypatch.setattr(shared_module, "alongside", lambda work: (made.append(1), real(work))[1])
    monkeypatch.setattr(check_module, "_MANY", 4)
    for module in (alongside_module, shared_module):
        monkeypatch.setattr(module, "may_copy", lambda: not alongside_module.kept_in_one_process())
    return made


def pages(*, numbers: tuple[int, ...] = (), picture: int = 0, drawn: int = 0) -> bytes:
    """Nine pages; a number stands on some, a picture or drawn letters on one."""
    out = io.BytesIO()
    sheet = canvas.Canvas(out, invariant=1)
    for number in range(1, COUNT + 1):
        sheet.drawString(72, 700, f"Page {number} about nothing")
        if number in numbers:
            sheet.drawString(72, 600, "000-12-3456" if number % 2 else "000 12 3456")
        if number == picture:
            sheet.drawImage(ImageReader(Image.new("L", (40, 40), 90)), 72, 300, 40, 40)
        for step in range(30 if number == drawn else 0):
            sheet.rect(72 + 9 * step, 400, 4, 30, fill=1)
        sheet.showPage()
    sheet.save()
    return out.getvalue()


def judged(data: bytes, progress: Progress = silent, **how: bool) -> Verdict:
    return check_pdf(
        data, name="a.pdf", passphrase=None, known=KNOWN, policy=MaskPolicy(), progress=progress,
        **how,
    )  # fmt: skip


@pytest.mark.parametrize(
    "data",
    [
        pages(),
        pages(numbers=(3,)),
        pages(numbers=(8,)),
        pages(numbers=tuple(range(1, COUNT + 1))),
        pages(numbers=(2, 5), drawn=6),
        pages(drawn=1),
    ],
    ids=["nothing", "odd page", "even page", "every page", "drawn bars", "drawn bars first"],
)
def test_two_processes_see_what_one_sees(data: bytes, copies: list[int]) -> None:
    shared = judged(data)
    assert copies == [1]
    with in_one_process():
        alone = judged(data)
    assert copies == [1]
    assert shared == alone


def test_sightings_tell_the_page_in_whichever_process_they_were_made() -> None:
    seen = {each.page for each in judged(pages(numbers=(2, 7))).sightings if each.page}
    assert seen == {2, 7}


def test_what_a_copy_cannot_read_is_unread(monkeypatch, copies: list[int]) -> None:
    real = page_text_reader.pdfium_page

    def broken(document, number):
        if number in (3, 6):
            raise page_text_reader.Damaged("PDFium cannot load this page")
        return real(document, number)

    monkeypatch.setattr(page_text_reader, "pdfium_page", broken)
    unread = judged(pages()).unread
    assert copies == [1]
    assert [words for words in unread if "text" in words] == [
        "page 3: PDFium cannot read its text",
        "page 6: PDFium cannot read its text",
    ]


def test_what_was_found_on_a_page_counts_though_its_annotations_cannot_be_read(monkeypatch) -> None:
    def broken(*_: object) -> None:
        raise page_text_reader.Damaged("an annotation that leads nowhere")

    monkeypatch.setattr(page_text_reader, "_in_annotations", broken)
    verdict = judged(pages(numbers=(4,)))
    assert 4 in {each.page for each in verdict.sightings if each.reader == "page text"}
    assert "page 4: PDFium cannot read its text" in verdict.unread


@pytest.mark.parametrize(
    ("data", "how"), [(pages(picture=5), {}), (pages(), {"thorough": True})], ids=["one", "two"]
)
def test_pictures_are_remembered_by_one_process(data: bytes, how, copies: list[int]) -> None:
    """Each would start its own recognition, and might read the same picture twice."""
    judged(data, **how)
    assert copies == []


def test_progress_goes_on_to_the_last_page(copies: list[int]) -> None:
    told: list[Step] = []
    judged(pages(), told.append)
    numbers = [step.done for step in told if step.station == "check"]
    assert copies == [1]
    assert numbers == sorted(numbers)
    assert numbers[-1] == COUNT


def test_what_was_spent_at_the_same_time_is_taken_from_the_allowance() -> None:
    allowance = InflationAllowance(DEFAULT_LIMITS)
    share = allowance.share()
    assert share.left == allowance.left == 4 * DEFAULT_LIMITS.stream_bytes
    three = 3 * DEFAULT_LIMITS.stream_bytes
    for spender in (allowance, share):
        spender.spend(0, three)
    allowance.take(three)
    with pytest.raises(OverLimit):
        allowance.spend(0, 1)

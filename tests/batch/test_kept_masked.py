"""A source is masked once for several recipes; what is kept is never trusted unread."""

import dataclasses
import os
import shutil

import pytest
from office_folders import text_pdf

from packets.base.geometry import Box
from packets.base.secret import Secret
from packets.handover import masked as masking_station
from packets.handover.kept_masked import MaskedShelf, shelf_at_hand, shelf_in_use
from packets.identifiers.kinds import Kind, KnownNumber, MaskPolicy
from packets.masking.mask_document import MaskOrder
from packets.masking.records import Masked, MaskedDocument
from packets.masking.survey import survey_document
from packets.reading.ocr import OcrReader

KEY = bytes(range(32))
NUMBER = "666123456"
MASK = Masked(Kind.SSN, "XXX-XX-3456", 1, Box(1.0, 2.0, 3.5, 4.25), "text")
MADE = MaskedDocument(b"%PDF masked", (MASK,), 1, left_behind=("a script",))


@pytest.fixture(scope="module")
def order():
    pdf = text_pdf(["Your social security number 666-12-3456"], ["Page two"])
    with OcrReader() as ocr:
        survey = survey_document(pdf, ocr)
    known = (KnownNumber(Kind.SSN, Secret(NUMBER)),)
    return MaskOrder(pdf, survey, (0, 1), known, MaskPolicy())


@pytest.fixture
def shelf(tmp_path):
    return MaskedShelf(tmp_path / "masked", KEY)


def files(tmp_path):
    return sorted((tmp_path / "masked").glob("*"))


def test_what_was_kept_comes_back_as_it_was(shelf, order):
    assert shelf.find(order) is None
    shelf.keep(order, MADE)
    assert shelf.find(order) == MADE


def other_number(order):
    return dataclasses.replace(order, known=(KnownNumber(Kind.SSN, Secret("666123457")),))


OTHERS = {
    "document": lambda order: dataclasses.replace(order, pdf=order.pdf + b"\n"),
    "pages": lambda order: dataclasses.replace(order, pages=(1, 0)),
    "number": other_number,
    "no number": lambda order: dataclasses.replace(order, known=()),
    "given": lambda order: dataclasses.replace(
        order, known=(KnownNumber(Kind.SSN, Secret(NUMBER), given=True),)
    ),
    "kinds": lambda order: dataclasses.replace(
        order, policy=MaskPolicy(kinds=frozenset({Kind.SSN}))
    ),
    "kept kind": lambda order: dataclasses.replace(
        order, policy=MaskPolicy(keep=frozenset({Kind.EIN}))
    ),
    "glyph": lambda order: dataclasses.replace(order, policy=MaskPolicy(glyph="*")),
    "blanked": lambda order: dataclasses.replace(order, blank=frozenset({0})),
    "unmasked": lambda order: dataclasses.replace(order, policy=None),
}


@pytest.mark.parametrize("other", OTHERS.values(), ids=OTHERS)
def test_any_other_order_finds_nothing(shelf, order, other):
    shelf.keep(order, MADE)
    assert shelf.find(other(order)) is None


def test_the_name_of_what_is_kept_knows_of_everything_in_an_order():
    """Whoever adds to an order, a policy or a number has to add it to the name as well."""
    assert [field.name for field in dataclasses.fields(MaskOrder)] == [
        "pdf",
        "survey",  # made from pdf alone
        "pages",
        "known",
        "policy",
        "blank",
    ]
    assert [field.name for field in dataclasses.fields(MaskPolicy)] == ["kinds", "keep", "glyph"]
    assert [field.name for field in dataclasses.fields(KnownNumber)] == [
        "kind",
        "digits",
        "holder",  # who holds it changes no mask
        "given",
    ]


def test_what_shows_numbers_or_was_not_read_whole_is_not_kept(shelf, order, tmp_path):
    shelf.keep(dataclasses.replace(order, policy=None), MADE)
    shelf.keep(order, dataclasses.replace(MADE, unread=("page 1: a picture",)))
    assert not files(tmp_path)


@pytest.mark.parametrize("at", [0, 11, 12, 40, -1])
def test_a_changed_byte_counts_as_not_there(shelf, order, tmp_path, at):
    shelf.keep(order, MADE)
    (file,) = files(tmp_path)
    data = bytearray(file.read_bytes())
    data[at] ^= 1
    file.write_bytes(data)
    assert shelf.find(order) is None


@pytest.mark.parametrize("data", [b"", b"x", b"%PDF-1.7"])
def test_what_somebody_else_wrote_counts_as_not_there(shelf, order, tmp_path, data):
    shelf.keep(order, MADE)
    (file,) = files(tmp_path)
    file.write_bytes(data)
    assert shelf.find(order) is None


def test_what_is_no_plain_file_is_not_waited_for(shelf, order, tmp_path):
    shelf.keep(order, MADE)
    (file,) = files(tmp_path)
    file.unlink()
    os.mkfifo(file)
    assert shelf.find(order) is None


def test_one_document_does_not_pass_for_another(shelf, order, tmp_path):
    shelf.keep(order, MADE)
    (mine,) = files(tmp_path)
    shelf.keep(other_number(order), dataclasses.replace(MADE, pdf=b"%PDF of another number"))
    (theirs,) = set(files(tmp_path)) - {mine}
    shutil.copy(theirs, mine)
    assert shelf.find(order) is None


def test_another_key_reads_nothing(shelf, order, tmp_path):
    shelf.keep(order, MADE)
    assert MaskedShelf(tmp_path / "masked", bytes(32)).find(order) is None


def test_it_is_private_and_tells_nothing(shelf, order, tmp_path):
    shelf.keep(order, MADE)
    assert (tmp_path / "masked").stat().st_mode & 0o777 == 0o700
    (file,) = files(tmp_path)
    assert file.stat().st_mode & 0o777 == 0o600
    told = file.name.encode() + file.read_bytes()
    for words in (b"PDF", b"3456", NUMBER.encode(), b"ssn"):
        assert words not in told


def test_the_oldest_go_when_there_is_no_more_room(order, tmp_path):
    import os

    shelf = MaskedShelf(tmp_path / "masked", KEY, most_bytes=4000)
    orders = [dataclasses.replace(order, pages=(n,)) for n in range(4)]
    for age, one in enumerate(orders):
        shelf.keep(one, dataclasses.replace(MADE, pdf=b"%" * 1000))
        for file in files(tmp_path):
            os.utime(file, (file.stat().st_atime, file.stat().st_mtime - 10))
        assert age < 1 or shelf.find(orders[0])  # asked for, so not the oldest any more
    assert sum(file.stat().st_size for file in files(tmp_path)) <= 4000
    assert shelf.find(orders[0])
    assert shelf.find(orders[1]) is None
    shelf.keep(orders[1], dataclasses.replace(MADE, pdf=b"%" * 4000))
    assert shelf.find(orders[1]) is None


def test_a_folder_that_cannot_be_written_costs_only_the_memory(order, tmp_path):
    (tmp_path / "masked").write_bytes(b"a file")
    shelf = MaskedShelf(tmp_path / "masked", KEY)
    shelf.keep(order, MADE)
    assert shelf.find(order) is None


def test_masking_asks_the_shelf_and_makes_the_same_bytes_without_it(shelf, order):
    with OcrReader() as ocr:
        plain = masking_station._masked_once(order, ocr)
        with shelf_in_use(shelf):
            assert shelf_at_hand() is shelf
            first = masking_station._masked_once(order, ocr)
            second = masking_station._masked_once(order, ocr)
    assert shelf_at_hand() is None
    assert plain == first == second
    assert shelf.find(order) == plain
    assert not plain.unread

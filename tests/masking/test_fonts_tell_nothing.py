"""A font tells nothing of the digits that were masked, whoever made it."""

import io

import pikepdf
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from masking_run import known_number, mask
from other_readers import READERS
from pixels import differs_outside
from subset_documents import KINDS, document_in

SURVIVING = [
    ("Total 2,034 due", "Names: Zoe and Abel"),
    ("0123456789 all of them", "and some more"),
    ("", ""),
]
KIND = pytest.mark.parametrize("kind", KINDS)


def two_digits(low: int, high: int) -> st.SearchStrategy[str]:
    return st.integers(low, high).map("{:02d}".format)


NEVER_ASSIGNED = st.one_of(
    st.tuples(st.just("9"), two_digits(0, 99), st.just("-"), two_digits(10, 49)),
    st.tuples(st.just("666-"), two_digits(10, 99)),
    st.tuples(st.just("000-"), two_digits(10, 99)),
    st.tuples(st.integers(100, 899).map(str), st.just("-00")),
).map("".join)
"""The first five digits; the last four are the same everywhere."""


def written(head: str, surviving: tuple[str, str]) -> list[str]:
    return [f"SSN {head}-4320", *surviving]


def masked(kind: str, head: str, surviving: tuple[str, str]):
    result = mask(document_in(KINDS[kind], written(head, surviving)), [known_number(head + "4320")])
    assert not result.unread
    assert [record.shown for record in result.masks] == ["XXX-XX-4320"]
    return result


@KIND
@pytest.mark.parametrize("surviving", SURVIVING, ids=["some digits", "all digits", "none"])
@settings(
    max_examples=6, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(heads=st.tuples(NEVER_ASSIGNED, NEVER_ASSIGNED))
def test_documents_that_differ_in_the_masked_digits_alone_become_the_same_bytes(
    kind, surviving, heads
):
    one, other = (masked(kind, head, surviving).pdf for head in heads)
    assert one == other


@KIND
@pytest.mark.parametrize("surviving", SURVIVING[:2], ids=["some digits", "all digits"])
@pytest.mark.parametrize("head", ["987-65", "900-12", "666-66"])
def test_every_reader_still_reads_what_survives(kind, surviving, head):
    lines = [line.replace(head, "XXX-XX") for line in written(head, surviving)]
    result = masked(kind, head, surviving)
    for read in READERS.values():
        words = read(result.pdf).replace("XXX XX", "XXX-XX")  # PDFium, of a lone hyphen
        assert "".join(words.split()) == "".join("".join(lines).split())


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind != "Type 3"])
def test_not_one_pixel_beside_the_mask_differs(kind):
    pdf = document_in(KINDS[kind], written("987-65", SURVIVING[0]))
    assert differs_outside(pdf, masked(kind, "987-65", SURVIVING[0]).pdf, [(55, 35, 120, 56)]) == 0


def without_identifier(pdf: bytes) -> bytes:
    """All objects; the file's /ID is made from how they lay in the file before."""
    with pikepdf.open(io.BytesIO(pdf)) as document:
        del document.trailer["/ID"]
        out = io.BytesIO()
        document.save(out, static_id=True)
        return out.getvalue()


@KIND
def test_masking_again_changes_nothing(kind):
    once = masked(kind, "987-65", SURVIVING[0]).pdf
    again = mask(once)
    assert not again.masks
    assert without_identifier(again.pdf) == without_identifier(once)


@KIND
def test_a_map_to_unicode_names_the_digits_in_use_alone(kind):
    with pikepdf.open(io.BytesIO(masked(kind, "987-65", ("", "")).pdf)) as document:
        maps = [
            item.ToUnicode.read_bytes()
            for item in document.objects
            if isinstance(item, pikepdf.Dictionary) and "/ToUnicode" in item
        ]
    assert len(maps) == 1
    assert {digit for digit in range(10) if b"> <%04x>" % (0x30 + digit) in maps[0]} == {0, 2, 3, 4}

"""Page numbers add up, whatever is bound."""

from hypothesis import given
from hypothesis import strategies as st

from packets.assembly.pagination import paginate
from packets.assembly.records import BoundPages, BoundPart

documents = st.builds(
    BoundPages,
    title=st.just("x"),
    pdf=st.just(b""),
    pages=st.lists(st.integers(1, 9), min_size=1, max_size=6).map(tuple),
)
parts = st.builds(
    BoundPart,
    heading=st.just("y"),
    documents=st.lists(documents, min_size=1, max_size=4).map(tuple),
)
bindings = st.lists(st.tuples(parts, st.integers(0, 3)), min_size=1, max_size=5)


@given(bindings, st.integers(0, 4))
def test_every_page_gets_one_number_in_order(
    bound: list[tuple[BoundPart, int]], covers: int
) -> None:
    pagination = paginate(
        tuple(part for part, _ in bound),
        cover_sheets=covers,
        divider_sheets=tuple(sheets for _, sheets in bound),
    )
    numbers = [*pagination.covers]
    for part in pagination.parts:
        numbers += part.dividers
        numbers += [number for document in part.documents for number in document]
    assert numbers == list(range(1, pagination.total + 1))


@given(bindings, st.integers(0, 4))
def test_parts_lie_end_to_end_behind_the_cover(
    bound: list[tuple[BoundPart, int]], covers: int
) -> None:
    pagination = paginate(
        tuple(part for part, _ in bound),
        cover_sheets=covers,
        divider_sheets=tuple(sheets for _, sheets in bound),
    )
    following = covers + 1
    for part in pagination.parts:
        assert part.as_range().first_page == following
        following += part.as_range().pages
    assert following == pagination.total + 1


@given(bindings)
def test_each_document_keeps_its_number_of_pages(bound: list[tuple[BoundPart, int]]) -> None:
    given_parts = tuple(part for part, _ in bound)
    pagination = paginate(given_parts, cover_sheets=1, divider_sheets=(1,) * len(given_parts))
    assert [[len(each) for each in part.documents] for part in pagination.parts] == [
        [len(each.pages) for each in part.documents] for part in given_parts
    ]

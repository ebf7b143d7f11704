"""What a manifest says of a packet that waits: its pages, lines and places, read back as told."""

import dataclasses
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st
from waiting_packets import FACTS, sealed

from packets.base.canonical import checksum_of
from packets.base.errors import Damaged
from packets.base.geometry import Box
from packets.decisions.manifest_rows import ManifestRows
from packets.decisions.packet_rows import LeftOutPages, OpenLine
from packets.decisions.records import Mark, Origin
from packets.handover.facts import origin_runs
from packets.sealing.manifest import manifest_bytes, manifest_of
from packets.sealing.records import (
    LetThroughLine,
    MaskLine,
    OpenSignatureLine,
    PacketFacts,
    SignatureLine,
    SourceLine,
)

PACKET = sealed()
SOURCES = tuple(
    SourceLine(f"documents/{name}.pdf", "0" * 64, 40, 0, (((2, 5), "not named"),))
    for name in ("one", "two", "three")
)


def rows(**changes: object) -> ManifestRows:
    facts: PacketFacts = dataclasses.replace(FACTS, packet="packet.pdf", sources=SOURCES, **changes)
    return ManifestRows(manifest_of(manifest_bytes(facts, PACKET)))


@st.composite
def packets(draw: st.DrawFn) -> list[tuple[int, int] | None]:
    """For each packet page its source and page, or None for a sheet of our own; none twice."""
    pages = draw(
        st.lists(st.tuples(st.integers(0, 2), st.integers(1, 40)), unique=True, max_size=30)
    )
    if draw(st.booleans()):
        pages.sort()
    found: list[tuple[int, int] | None] = []
    for page in pages:
        found += [None] * draw(st.integers(0, 1)) + [page]
    return found


@given(packets())
def test_every_page_is_told_as_it_was(pages: list[tuple[int, int] | None]) -> None:
    places = {page: number for number, page in enumerate(pages, start=1) if page is not None}
    told = rows(pages=len(pages), origins=tuple(origin_runs(places)))
    assert told.origins() == tuple(
        None if page is None else Origin(SOURCES[page[0]].file, page[1]) for page in pages
    )


def test_pages_that_follow_one_another_are_one_line() -> None:
    places = {(0, page): page + 2 for page in range(1, 41)}
    assert len(list(origin_runs(places))) == 1


def test_marks_come_down_the_packet() -> None:
    told = rows(
        pages=3,
        masks=(
            MaskLine("region", "", 2, (10.0, 300.0, 50.0, 320.0)),
            MaskLine("ssn", "XXX-XX-6789", 2, (10.0, 20.0, 50.0, 32.0)),
        ),
        signatures=(SignatureLine("ero", 1, (1.0, 2.0, 3.0, 4.0), "2026-ero-1", "0" * 64),),
        let_through=(LetThroughLine(2, (5.0, 100.0, 6.0, 101.0), "a part number"),),
    )
    assert [(mark.what, mark.page) for mark in told.marks()] == [
        ("signed", 1),
        ("masked", 2),
        ("let through", 2),
        ("blanked", 2),
    ]
    assert told.marks()[1] == Mark(
        "masked", "Social Security number, shows XXX-XX-6789", 2, Box(10, 20, 50, 32)
    )
    assert "a part number" in told.marks()[2].words


def test_open_lines_and_left_out_pages_name_their_file() -> None:
    told = rows(open_lines=(OpenSignatureLine("taxpayer", 1, 3, "no grant 666-12-3456"),))
    assert told.open_lines() == (
        OpenLine("taxpayer", "documents/two.pdf", 3, "no grant XXX-XX-3456"),
    )
    assert told.left_out()[0] == LeftOutPages("documents/one.pdf", (2, 5), "not named")


def test_a_packet_that_does_not_wait_says_nothing_of_it() -> None:
    assert not {"origins", "open_lines", "let_through"} & rows(review=False).manifest.keys()


@pytest.mark.parametrize("change", [{"another": 1}, {"origins": None}, {"let_through": 3}])
def test_a_manifest_is_as_it_was_written_or_none(change: dict[str, object]) -> None:
    record = json.loads(manifest_bytes(dataclasses.replace(FACTS, packet="p.pdf"), PACKET))
    data = json.dumps({**record, **change}, ensure_ascii=False, indent=2) + "\n"
    with pytest.raises(Damaged):
        manifest_of(data.encode())


def test_a_review_of_a_manifest_of_odd_values_shows_less_and_does_not_fail() -> None:
    """One that a person wrote anew, with a right checksum: the ledger refuses it at a release."""
    record = dict(rows().manifest)
    record["origins"] = [{"source": 99, "first_page": -4, "pages": 3}, "no table"]
    record["masks"] = [{"kind": "ssn", "place": [1, "x"]}, 7]
    record["pages"] = "many"
    record["check"] = {"proof": {"planted": [None]}, "readers": "none"}
    record["checksum"] = checksum_of({k: v for k, v in record.items() if k != "checksum"})
    told = ManifestRows(record)
    assert told.origins() == ()
    assert [mark.box for mark in told.marks()] == [Box(0, 0, 0, 0)]
    assert told.check().planted == ()

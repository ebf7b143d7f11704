"""Corrections stand in engagement.toml as a person would write them, and nothing else moves."""

import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packets.base.errors import UsageError
from packets.base.geometry import Box
from packets.decisions.engagement_text import in_words, with_corrections
from packets.decisions.records import BlankRegion, Correction, LeaveOut, NotANumber, PageCategory
from packets.intake.engagement import EngagementFile, engagement_faults
from packets.intake.page_ranges import parse_page_range
from packets.recipe.loader import load_bytes

FILES = {"documents/scan.pdf": 6, 'documents/Müller\'s "papers".pdf': 3}
SCAN, PAPERS = FILES
DIGESTS = dict.fromkeys(FILES, "0a" * 32)
HEAD = """\
# our own remark
[engagement]
id = "2025-0201"     # the office's number
tax_year = 2025

household   =   "Ottilie Marsh"

[[person]]
role = "taxpayer"
name = "Ottilie Marsh"
"""
WITH_HELP = (
    HEAD
    + """
[[document]]                  # the scanner's own name
file = "documents/scan.pdf"
pages = "1-4"                 # four of them
category = "w-2"

# behind it
[[document]]
category = "letter"
file = "./documents/scan.pdf"
pages = "5"
"""
)
reasons = st.text(
    st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Nd")), min_size=1, max_size=60
).filter(str.strip)


@st.composite
def pages_of_a_file(draw: st.DrawFn) -> tuple[str, tuple[int, ...]]:
    file = draw(st.sampled_from(sorted(FILES)))
    pages = draw(st.sets(st.integers(1, FILES[file]), min_size=1))
    return file, tuple(sorted(pages))


@st.composite
def boxes(draw: st.DrawFn) -> Box:
    x0, y0 = draw(st.floats(0, 600)), draw(st.floats(0, 700))
    return Box(x0, y0, x0 + draw(st.floats(1, 90)), y0 + draw(st.floats(1, 90)))


@st.composite
def corrections(draw: st.DrawFn) -> Correction:
    file, pages = draw(pages_of_a_file())
    kind = draw(st.sampled_from([PageCategory, LeaveOut, BlankRegion, NotANumber]))
    if kind is PageCategory:
        return PageCategory(file, pages, draw(st.sampled_from(["w-2", "letter", "form-1040"])))
    if kind is LeaveOut:
        return LeaveOut(file, pages, draw(reasons))
    return kind(file, pages[0], draw(boxes()), draw(reasons))


def written(text: str, *wanted: Correction) -> str:
    return with_corrections(text, wanted, FILES, DIGESTS)


def loaded(text: str) -> EngagementFile:
    return load_bytes(text.encode(), "engagement.toml", EngagementFile, engagement_faults)


def categories(file: EngagementFile, name: str) -> dict[int, str]:
    found: dict[int, str] = {}
    for entry in file.document:
        if entry.file.removeprefix("./") == name:
            for page in parse_page_range(entry.pages) or range(1, FILES[name] + 1):
                assert page not in found, "a page has two categories"
                found[page] = entry.category
    return found


@settings(max_examples=120)
@given(
    wanted=st.lists(corrections(), min_size=1, max_size=6), text=st.sampled_from([HEAD, WITH_HELP])
)
def test_every_correction_is_read_back_as_it_was_made(wanted: list[Correction], text: str) -> None:
    file = loaded(written(text, *wanted))
    assert [(e.file, e.why, parse_page_range(e.pages)) for e in file.leave_out] == [
        (w.file, w.why, () if len(w.pages) == FILES[w.file] else w.pages)
        for w in wanted
        if isinstance(w, LeaveOut)
    ]
    for kind, entries in ((BlankRegion, file.blank), (NotANumber, file.not_a_number)):
        assert [(e.file, e.page, e.box, e.why, e.sha256) for e in entries] == [
            (w.file, w.page, w.box.rounded(), w.why, DIGESTS[w.file])
            for w in wanted
            if isinstance(w, kind)
        ]


@settings(max_examples=120)
@given(
    wanted=st.lists(corrections(), min_size=1, max_size=6), text=st.sampled_from([HEAD, WITH_HELP])
)
def test_the_last_category_given_to_a_page_counts_and_others_keep_theirs(
    wanted: list[Correction], text: str
) -> None:
    before, after = loaded(text), loaded(written(text, *wanted))
    for name in FILES:
        expected = categories(before, name)
        for correction in wanted:
            if isinstance(correction, PageCategory) and correction.file == name:
                expected |= dict.fromkeys(correction.pages, correction.category)
        assert categories(after, name) == expected


@settings(max_examples=60)
@given(wanted=st.lists(corrections(), min_size=1, max_size=6))
def test_all_that_a_person_wrote_stays_letter_by_letter(wanted: list[Correction]) -> None:
    assert written(HEAD, *wanted).startswith(HEAD)
    rest = [one for one in wanted if not isinstance(one, PageCategory)]
    assert written(WITH_HELP, *rest).startswith(WITH_HELP)


def test_remarks_beside_a_changed_entry_stay() -> None:
    after = written(WITH_HELP, PageCategory(SCAN, (2,), "letter"))
    assert after == WITH_HELP.replace('"1-4"', '"1,3-4"') + (
        '\n[[document]]\nfile = "documents/scan.pdf"\npages = "2"\ncategory = "letter"\n'
    )


def test_an_entry_without_pages_left_goes() -> None:
    after = loaded(written(WITH_HELP, PageCategory(SCAN, (5,), "w-2")))
    assert [entry.pages for entry in after.document] == ["1-4", "5"]


def test_an_entry_is_written_as_a_person_would() -> None:
    assert written(HEAD, BlankRegion(SCAN, 2, Box(72, 80.04, 200, 99.96), 'a "note"')) == (
        HEAD
        + '\n[[blank]]\nfile = "documents/scan.pdf"\npage = 2\nbox = [72.0, 80.0, 200.0, 100.0]\n'
        + f'why = "a \\"note\\""\nsha256 = "{DIGESTS[SCAN]}"\n'
    )


@pytest.mark.parametrize("end", ["\r\n", "\n"])
def test_line_ends_and_a_missing_last_one_are_as_they_were(end: str) -> None:
    text = HEAD.rstrip("\n").replace("\n", end)
    after = written(text, LeaveOut(PAPERS, (1,), "twice"))
    assert after.startswith(text)
    assert after.count("\n") == after.count(end)
    assert tomllib.loads(after)["leave_out"] == [{"file": PAPERS, "pages": "1", "why": "twice"}]


def test_documents_in_one_line_are_told_and_not_guessed_at() -> None:
    text = 'document = [{file = "documents/scan.pdf", category = "w-2"}]\n' + HEAD
    with pytest.raises(UsageError, match="in one line"):
        written(text, PageCategory(SCAN, (1,), "letter"))


def test_corrections_are_told_in_words() -> None:
    told = in_words(
        [
            PageCategory(SCAN, (1, 2), "w-2"),
            LeaveOut(SCAN, (3,), "twice"),
            BlankRegion(SCAN, 4, Box(0, 0, 1, 1), "a note"),
        ],
        lambda file: Path(file).name,
    )
    assert list(told) == [
        "scan.pdf, pages 1-2: w-2",
        "scan.pdf, page 3: left out, twice",
        "scan.pdf, page 4: a region blanked, a note",
    ]

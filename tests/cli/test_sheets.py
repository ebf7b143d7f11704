"""What a preparer reads: complete, within 80 columns, and safe to show."""

import io
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pipeline_stand_in import (
    DIGEST,
    PipelineStandIn,
    a_plan,
    a_sighting,
    a_verdict,
    an_inventory,
    held_report,
    released_report,
    some_facts,
)
from rich.console import Console

from packets.base.progress import Step
from packets.cli.build_summary import show_build
from packets.cli.entry import run
from packets.cli.kind_words import kinds_in_words
from packets.cli.page_tables import show_inventory, show_plan
from packets.cli.plain_text import page_ranges, plain
from packets.cli.progress_line import words_of
from packets.cli.surroundings import Surroundings
from packets.cli.verdict_sheet import show_verdict


def shown(show, *records, width=80, **options):
    """What a sheet prints on a terminal of that width without colour."""
    sink = io.StringIO()
    show(Console(file=sink, width=width, markup=False, highlight=False), *records, **options)
    return sink.getvalue()


def test_a_released_summary_says_all_that_the_manifest_will(capsys):
    text = shown(show_build, released_report(), passphrase_may_show=False)
    for words in (
        "Released: Your 2025 income tax return",
        "Federal return         pages 3-5  Form 1040",
        "a voucher to pay with",
        "2 Social Security numbers",
        "1 account number",
        "placed: taxpayer on packet page 2, by grant 8879-taxpayer",
        "left open: spouse on documents/return.pdf page 1: no grant",
        "PDFium text    5 pages  saw none  5.15.2",
        "2029-06-30",
        "client/outbound/2025-0147-client-copy.pdf\n",
        "client/keys/2025-0147-client-copy.txt\n",
        DIGEST,
        "never in the same message",
    ):
        assert words in text


def test_a_held_summary_names_each_reason_and_place_and_no_packet():
    text = shown(show_build, held_report(), width=100, passphrase_may_show=True)
    for words in (
        "Held: Your 2025 income tax return. Nothing was released.",
        "page 4: an SSN in a picture on the page",
        "page 4  Social Security number  picture on the page",
        "Not readable: picture on page 5",
        "run the same command again",
    ):
        assert words in text
    assert "outbound" not in text
    assert "Released" not in text


def test_a_packet_held_before_it_was_made_says_what_was_planned_and_what_was_not_reached():
    early = replace(
        held_report(),
        facts=replace(some_facts(), pages=0, parts=(), masks=(), signatures=()),
        verdict=None,
    )
    text = shown(show_build, early, passphrase_may_show=True)
    assert "Federal return  2 pages  Form 1040" in text
    assert "Not reached: the packet was held before." in text
    assert "by design" not in text


def test_an_office_packet_says_that_full_numbers_are_meant():
    office = replace(released_report(), facts=replace(some_facts(), masks=()), verdict=None)
    text = shown(show_build, office, passphrase_may_show=False)
    assert "Nothing: this packet carries full numbers by design." in text
    assert "Not asked" in text
    assert "keep it to the office" in text


def test_an_inventory_shows_evidence_and_marks_what_is_unsure():
    text = shown(show_inventory, an_inventory())
    for words in ("unknown", "UNSURE", "read by OCR", "follows the page before", "Look at these"):
        assert words in text


def test_a_plan_shows_pages_in_and_out_with_reasons_and_what_stops():
    text = shown(show_plan, an_inventory(), a_plan("page 1 of the scan is unknown"))
    for words in (
        "Federal return  (to be signed by taxpayer)",
        "1-2",
        "never masked",
        "What stops",
    ):
        assert words in text
    assert "Ready" in shown(show_plan, an_inventory(), a_plan())


@pytest.mark.parametrize("width", [80, 120])
def test_tables_fit_the_terminal(width):
    held = a_verdict(a_sighting(), unread=("a very long place " * 12,))
    texts = [
        shown(show_inventory, an_inventory(), width=width),
        shown(show_plan, an_inventory(), a_plan("a reason " * 30), width=width),
        shown(show_verdict, held, width=width),
    ]
    for line in "".join(texts).splitlines():
        assert len(line) <= width


def test_a_long_path_is_never_broken_so_that_it_can_be_copied():
    text = shown(show_build, released_report(), width=40, passphrase_may_show=False)
    assert "client/outbound/2025-0147-client-copy.manifest.json\n" in text


def test_a_number_in_a_file_name_is_shown_by_its_last_four_only():
    texts = [
        shown(show_inventory, an_inventory()),
        shown(show_build, released_report(), passphrase_may_show=False),
    ]
    for text in texts:
        assert "666-12" not in text
        assert "XXX-XX-3456" in text


def test_a_path_on_the_command_line_is_not_repeated_with_its_number(capsys):
    world = Surroundings(pipeline=PipelineStandIn)
    assert run(["inventory", "no/such/666-12-3456"], world) == 2
    told = capsys.readouterr().err
    assert "666-12" not in told
    assert "XXX-XX-3456" in told


@given(st.text())
def test_no_control_character_reaches_the_terminal(text):
    assert all(letter.isprintable() or letter == "\n" for letter in plain(text))


def test_terminal_codes_in_a_title_come_out_as_question_marks():
    assert plain("Form\x1b[31m 1040\u202e\x07") == "Form?[31m 1040??"


@given(st.text(), st.integers(0, 9999))
def test_no_nine_digits_reach_the_terminal(text, serial):
    shown_text = plain(f"{text} 666-12-{serial:04} 66612{serial:04} ")
    assert f"666-12-{serial:04}" not in shown_text
    assert f"66612{serial:04}" not in shown_text


@given(st.sets(st.integers(1, 300)))
def test_page_ranges_name_each_page_once(pages):
    named = []
    for run_of_pages in page_ranges(pages).split(", ") if pages else []:
        first, _, last = run_of_pages.partition("-")
        named += range(int(first), int(last or first) + 1)
    assert named == sorted(pages)


def test_kinds_are_counted_in_words_most_frequent_first():
    counted = kinds_in_words(["ip-pin", "ssn", "ssn", "something new"])
    assert counted == ["2 Social Security numbers", "1 identity or signing PIN", "1 something new"]


def test_progress_is_told_in_words_without_numbers_of_persons():
    assert words_of(Step("reading", "scan 666-12-3456.pdf", 1, 3)) == (
        "reading  scan XXX-XX-3456.pdf  1 of 3"
    )
    assert words_of(Step("checking")) == "checking"

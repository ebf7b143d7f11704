"""Real government forms, filled in, go through the whole way; other readers judge the packet."""

import json
import logging
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from filled_forms import AMOUNT, BY_LENGTH, FORMS, NUMBERS, FilledForm, fill
from finished_packets import FinishedPacket, once, seen_in
from office_folders import ENGAGEMENT, Run, build, run_packets
from test_packet_read_by_others import READERS

pytestmark = pytest.mark.skipif(
    not FORMS.is_dir(), reason=f"no blank government forms in {FORMS.name}/ beside the repository"
)
CATEGORIES = {
    "f1040-2022.pdf": {"form-1040"},
    "f1040-2024.pdf": {"form-1040"},
    "f1040-es-2023.pdf": {"instructions", "worksheet", "voucher-1040-es", "blank"},
    "f1040-v-2013.pdf": {"voucher-1040-v"},
    "f1099-int-2019.pdf": {"1099-int", "instructions"},
    "schedule-b-2022.pdf": {"schedule-b"},
    "schedule-c-2025.pdf": {"schedule-c"},
    "schedule-k-1-1065-2025.pdf": {"k-1-1065"},
    "ss-5-2011.pdf": {"instructions", "ss-5"},
    "w-2-2026.pdf": {"w-2", "instructions"},
    "w-4-2022.pdf": {"w-4", "worksheet", "instructions"},
    "w-9-2018.pdf": {"w-9", "instructions"},
}
EVERY_PAGE = """\
recipe = 1
name = "whole-folder"
title = "{tax_year} papers"
audience = "client"
[[part]]
heading = "Papers"
take = ["*"]
order = "folder"
[cover]
sheet = false
dividers = false
[seal]
passphrase = "generate"
"""
NOT_COUNTED = {"w-4-2022.pdf"}
"""Some of its fields name another page as theirs than the one that shows them."""


@dataclass(frozen=True)
class Filled:
    """The packet made of all forms, with what was filled in."""

    packet: FinishedPacket
    forms: dict[str, FilledForm]
    inventory: dict[str, Any]


@pytest.fixture(scope="module")
def filled(shared_root) -> Filled:
    """Every other form leaves the drawing of its fields to the reader, as some programs do."""
    forms = {
        path.name: fill(path, drawn=number % 2 == 0)
        for number, path in enumerate(sorted(FORMS.glob("*.pdf")))
    }

    def make(folder: Path) -> None:
        client = folder / "client"
        (client / "documents").mkdir(parents=True)
        (client / "engagement.toml").write_text(ENGAGEMENT.format(household='"Ottilie Marsh"'))
        (client / "recipe.toml").write_text(EVERY_PAGE)
        for name, form in forms.items():
            (client / "documents" / name).write_bytes(form.pdf)
        (folder / "inventory.json").write_text(run_packets("inventory", client, "--json").out)
        run = build(client, client / "recipe.toml")
        (folder / "run.json").write_text(json.dumps([run.status, run.out, run.err]))

    folder = once(shared_root, "real-forms", make)
    run = Run(*json.loads((folder / "run.json").read_text()))
    assert run.status == 0, run.said
    inventory = json.loads((folder / "inventory.json").read_text())
    return Filled(FinishedPacket(folder / "client", run), forms, inventory)


@pytest.fixture(autouse=True)
def quiet_readers():
    """pypdf and pdfminer tell at length what they think of the fonts of these forms."""
    logging.disable(logging.WARNING)
    yield
    logging.disable(logging.NOTSET)


def used_pages(packet: FinishedPacket) -> Iterator[tuple[str, int]]:
    """File and page of each packet page; the packet has no sheets of its own."""
    for source in packet.manifest["sources"]:
        out = {page for line in source["left_out"] for page in line["pages"]}
        for page in range(1, source["pages"] + 1):
            if page not in out:
                yield Path(source["file"]).name, page


def test_every_page_of_every_form_is_known(filled):
    found: dict[str, set[str]] = {}
    for page in filled.inventory["pages"]:
        found.setdefault(Path(page["file"]).name, set()).add(page["category"])
    assert found == {name: CATEGORIES[name] for name in found}
    assert len(found) == len(filled.forms) >= 10


def test_vouchers_stay_out_and_are_named(filled):
    used = dict.fromkeys(used_pages(filled.packet))
    assert ("f1040-v-2013.pdf", 1) not in used
    assert not {("f1040-es-2023.pdf", 9), ("f1040-es-2023.pdf", 11)} & used.keys()
    assert len(used) == filled.packet.manifest["pages"]


@pytest.mark.parametrize("reader", READERS)
def test_no_reader_finds_a_number_that_was_filled_in(filled, reader):
    texts = READERS[reader](filled.packet.opened)
    assert len(texts) == filled.packet.manifest["pages"]
    leaks = {number: seen_in(text, NUMBERS) for number, text in enumerate(texts, start=1)}
    assert {number: names for number, names in leaks.items() if names} == {}


def test_each_number_left_its_last_four_digits_where_it_stood(filled):
    masks: dict[str, int] = {}
    pages = list(used_pages(filled.packet))
    for mask in filled.packet.manifest["masks"]:
        if mask["kind"] == "ssn":
            name = pages[mask["page"] - 1][0]
            masks[name] = masks.get(name, 0) + 1
    expected = {
        "f1040-2022.pdf": 8,  # two people, four dependents, the routing field, the PTIN field
        "f1040-2024.pdf": 8,
        "schedule-b-2022.pdf": 1,
        "schedule-c-2025.pdf": 2,
        "schedule-k-1-1065-2025.pdf": 2,
        "f1099-int-2019.pdf": 8,
        "w-2-2026.pdf": 5,
        "w-4-2022.pdf": 1,
        "w-9-2018.pdf": 1,
        "ss-5-2011.pdf": 3,
    }
    assert masks == expected


def test_nothing_that_was_filled_in_beside_a_number_is_lost(filled):
    texts = READERS["PDFium"](filled.packet.opened)
    for (name, page), text in zip(used_pages(filled.packet), texts, strict=True):
        if name not in NOT_COUNTED:
            assert text.count(AMOUNT) == filled.forms[name].amounts.get(page, 0), (name, page)


def test_employers_numbers_stay_whole(filled):
    texts = READERS["PDFium"](filled.packet.opened)
    whole = sum(len(re.findall(re.escape(BY_LENGTH[10]), text)) for text in texts)
    assert whole >= 8

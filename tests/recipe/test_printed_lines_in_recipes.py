"""`[[line]]` in a recipe: its faults are named with their place, and it answers `signed_by`."""

from pathlib import Path

import pytest

from packets.base.errors import FileFaults
from packets.recipe.shelf import load_recipe
from packets.signatures.known_lines import known_lines, known_places

HEAD = """\
recipe = 1
name = "ours"
title = "Papers"
audience = "client"
[[part]]
heading = "Letter"
take = ["letter"]
signed_by = ["taxpayer"]
"""
LINE = """\
[[line]]
role = "taxpayer"
on = ["letter"]
labels = ["read and agreed"]
side = "above"
at = [0, -10]
room = [200, 18]
"""


def faults(tmp_path: Path, text: str) -> str:
    path = tmp_path / "ours.toml"
    path.write_text(text)
    with pytest.raises(FileFaults) as caught:
        load_recipe(path, {"letter", "form-8879"}, known_places())
    return str(caught.value)


def test_a_line_of_its_own_answers_signed_by(tmp_path: Path) -> None:
    (tmp_path / "ours.toml").write_text(HEAD + LINE)
    recipe = load_recipe(tmp_path / "ours.toml", {"letter"}, known_places()).recipe
    assert recipe.line[0].at == (0, -10)


def test_a_line_that_the_house_knows_answers_signed_by(tmp_path: Path) -> None:
    text = HEAD.replace('"letter"', '"form-8879"')
    (tmp_path / "ours.toml").write_text(text)
    assert load_recipe(tmp_path / "ours.toml", {"form-8879"}, known_places()).recipe.line == ()


def test_without_any_line_signed_by_is_a_fault(tmp_path: Path) -> None:
    assert "says where this role signs" in faults(tmp_path, HEAD)


@pytest.mark.parametrize(
    ("old", "new", "place", "words"),
    [
        ('["read and agreed"]', '["a."]', "labels", "letters to look for"),
        ('["read and agreed"]', '["agreed / x"]', "labels", "letters to look for"),
        ('["letter"]\nlabels', '["lettre"]\nlabels', "on", "no category fits"),
        ('"above"', '"left"', "side", "above"),
        ("[0, -10]", "[0]", "at", ""),
        ("[0, -10]", "[0, 9999]", "at", ""),
        ("[200, 18]", '["200", 18]', "room", "number"),
        ("room = [200, 18]", "room = [200, 18]\ndate_at = [0, 1]", "date_at", "date_labels"),
        ("room = [200, 18]", 'room = [200, 18]\ndate_format = "%H"', "date_format", "date"),
        ("room = [200, 18]", "room = [200, 18]\ncolour = 1", "colour", ""),
    ],
)
def test_faults_are_named_with_their_place(tmp_path, old, new, place, words) -> None:
    assert old in HEAD + LINE
    told = faults(tmp_path, (HEAD + LINE).replace(old, new))
    assert place in told
    assert words in told
    assert "line 1" in told or "line 9" in told


def test_the_houses_own_lines_cover_the_forms_that_people_sign() -> None:
    there = known_places()
    for category in ("form-1040", "form-1040-sr", "form-1040-x", "form-8879", "form-8878",
                     "form-8453", "form-4506-c", "form-4868", "engagement-letter", "consent-*",
                     "bank-product", "state-return"):  # fmt: skip
        assert {("taxpayer", category), ("spouse", category)} <= there
    for category in ("form-2848", "form-8821", "w-4", "w-9"):
        assert ("taxpayer", category) in there
    assert {("ero", "form-8879"), ("ero", "form-8453"), ("preparer", "form-1040")} <= there
    assert len(known_lines()) > 20

"""Recipes are found by name from anywhere, and those that ship are right."""

import hashlib
from pathlib import Path

import pytest

from packets.base.errors import ExitStatus, FileFaults, UsageError
from packets.intake.titles import known_categories
from packets.recipe.model import Audience
from packets.recipe.shelf import find_recipe, load_recipe, recipe_names, shipped_folder

SHIPPED = ("client-copy", "efile-attachments", "lender-copy", "office-copy")


def test_the_shipped_recipes_are_there() -> None:
    assert set(SHIPPED) <= set(recipe_names())


@pytest.mark.parametrize("name", SHIPPED)
def test_a_shipped_recipe_is_found_from_any_folder(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    found = find_recipe(name, known_categories())
    assert found.recipe.name == name
    assert found.sha256 == hashlib.sha256(found.path.read_bytes()).hexdigest()


def test_a_path_is_read_as_a_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    own = tmp_path / "ours.toml"
    own.write_bytes((shipped_folder("recipes") / "office-copy.toml").read_bytes())
    monkeypatch.chdir(tmp_path)
    for given in ("ours.toml", "./ours.toml", str(own)):
        assert find_recipe(given).recipe.audience is Audience.OFFICE


def test_an_unknown_name_lists_what_there_is_and_the_nearest() -> None:
    with pytest.raises(UsageError) as caught:
        find_recipe("cleint-copy")
    assert "client-copy" in caught.value.what
    assert all(name in caught.value.remedy for name in SHIPPED)
    assert caught.value.exit_code is ExitStatus.USAGE


@pytest.mark.parametrize("name", ["", "..", "client-copy/", "../recipes/client-copy", "a\\b", "\0"])
def test_a_name_does_not_wander_through_folders(name: str) -> None:
    with pytest.raises((UsageError, FileFaults)):
        find_recipe(name)


def test_a_missing_file_is_named() -> None:
    with pytest.raises(FileFaults, match="no such file"):
        find_recipe("nowhere/ours.toml")


def test_the_client_copy_leaves_the_papers_of_the_office_out() -> None:
    from packets.recipe.patterns import first_match

    taken = [pattern for part in find_recipe("client-copy").recipe.part for pattern in part.take]
    for category in ("worksheet", "diagnostic", "identity", "bank-statement", "organizer"):
        assert first_match(taken, category) is None
    for category in ("form-8879", "schedule-c", "1099-int", "k-1-1065", "letter", "invoice"):
        assert first_match(taken, category) is not None


def test_the_lender_copy_names_two_kinds_of_pages_only() -> None:
    recipe = find_recipe("lender-copy").recipe
    assert recipe.audience is Audience.THIRD_PARTY
    assert [pattern for part in recipe.part for pattern in part.take] == ["form-1040*", "w-2"]


def test_a_recipe_file_that_was_changed_is_judged_anew(tmp_path: Path) -> None:
    path = tmp_path / "ours.toml"
    text = Path(find_recipe("client-copy").path).read_text(encoding="utf-8")
    path.write_text(text, encoding="utf-8")
    before = load_recipe(path, known_categories())
    assert load_recipe(path, known_categories()) is before
    path.write_text(f"# one more line\n{text}", encoding="utf-8")
    assert load_recipe(path, known_categories()).sha256 != before.sha256
    path.write_text(text.replace("take = [", 'take = ["no-such-category", ', 1), encoding="utf-8")
    with pytest.raises(FileFaults):
        load_recipe(path, known_categories())
    assert load_recipe(path).recipe != before.recipe

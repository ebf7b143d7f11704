"""The list of client folders: order, search, and a build from there."""

import shutil

import pytest
from chromium_window import follow, fresh_window, needs_chromium
from office_folders import small_client
from open_review import OpenReview, Visitor

from packets.base.errors import UsageError

pytestmark = needs_chromium


@pytest.fixture
def root(built, tmp_path):
    """Three clients: one waits, one has nothing built, one cannot be read."""
    folder = tmp_path / "season"
    shutil.copytree(built, folder / "pell")
    small_client(folder / "marsh")
    broken = small_client(folder / "quill", household='"Bertrand Quill"')
    (broken / "engagement.toml").write_text("[engagement\n")
    return folder


def states(window):
    return window.locator("tbody .state strong").all_inner_texts()


def test_those_who_need_a_person_come_first_and_any_is_found_by_name_or_number(root, browser):
    pages = OpenReview(root)
    with fresh_window(browser) as window:
        window.goto(pages.address)
        assert states(window) == ["Cannot be read", "To review", "Nothing built"]
        assert "3 client folders, 2 of them" in window.locator("#summary").inner_text()
        for words, name in (("PELL lea", "Leander Pell"), ("2025-0201", "Ottilie Marsh")):
            window.locator("#search").fill(words)
            assert window.locator("tbody tr:visible th a").all_inner_texts() == [name]
            assert window.locator("#found").inner_text() == "1 of 3 client folders"
        window.locator("#search").fill("")
        assert window.locator("tbody tr:visible").count() == 3
        follow(window, "th a:has-text('Ottilie Marsh')")
        assert window.locator(".over").inner_text() == "Nothing built"
        follow(window, "text=All client folders")
        window.locator("#end").click()
        window.wait_for_selector("text=These pages were ended")
    assert pages.end() == "done"


def test_a_build_is_started_from_the_list_and_its_end_is_told(root, browser):
    shutil.rmtree(root / "pell")
    pages = OpenReview(root)
    with fresh_window(browser, width=820) as window:
        window.goto(pages.address)
        row = window.locator("tr:has-text('Ottilie Marsh')")
        row.locator("button").click()
        window.wait_for_selector("#told:has-text('Building for Ottilie Marsh')")
        assert row.locator("button").is_disabled()
        window.wait_for_selector(
            "#told:has-text('Ottilie Marsh: The packet was built')", timeout=60_000
        )
        follow(window, "th a:has-text('Ottilie Marsh')")
        assert window.locator(".over").inner_text() == "Released"
        assert window.locator("#release").count() == 0
        window.locator("#end").click()
    pages.end()
    assert list((root / "marsh" / "outbound").glob("*.pdf"))


def test_a_folder_without_any_client_is_told_before_the_door_opens(tmp_path):
    with pytest.raises(UsageError, match="no client folder here"):
        OpenReview(tmp_path)


def test_a_recipe_by_which_nothing_was_built_is_offered_to_be_built(built):
    pages = OpenReview(built, recipe="lender-copy")
    visitor = Visitor(pages)
    text = visitor.get(visitor.packet()).text
    assert "Nothing was built by this recipe" in text
    assert "looked-at</a> (to review)" in text
    assert "selected>lender-copy<" in text
    visitor.leave()
    pages.end()


def test_a_recipe_that_is_not_there_is_told_before_the_door_opens(built):
    with pytest.raises(UsageError, match="no recipe of this name"):
        OpenReview(built, recipe="lender-copi")

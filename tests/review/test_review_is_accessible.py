"""The pages, judged by WCAG 2.2, A and AA, as far as a machine can tell."""

import shutil

import pytest
from axe_rules import axe_text, faults
from chromium_window import follow, fresh_window, needs_chromium
from office_folders import small_client
from open_review import OpenReview

pytestmark = needs_chromium


@pytest.fixture(scope="module")
def axe(shared_root):
    return axe_text(shared_root)


@pytest.mark.parametrize(("width", "scheme"), [(1280, "light"), (820, "dark")])
def test_no_fault_is_found_on_any_page_at_the_desk_or_on_a_tablet(
    built, browser, axe, tmp_path, width, scheme
):
    root = tmp_path / "season"
    shutil.copytree(built, root / "pell")
    small_client(root / "marsh")
    pages = OpenReview(root)
    with fresh_window(browser, width=width, color_scheme=scheme) as window:
        window.goto(pages.address)
        assert not faults(window, axe)
        follow(window, "th a:has-text('Marsh')")
        assert not faults(window, axe)
        window.go_back()
        follow(window, "th a:has-text('Pell')")
        window.keyboard.press("n")
        window.locator("#page-6 summary").click()
        window.locator("#hold").click()
        assert not faults(window, axe)
        follow(window, "#page-8 figcaption a")
        window.locator("[data-send=hide]").click()
        assert not faults(window, axe)
        window.locator("#end").click()
        window.wait_for_selector("text=These pages were ended")
        assert not faults(window, axe)
    pages.end()

"""The page to sign on, judged by WCAG 2.2, A and AA, as far as a machine can tell."""

import pytest
from axe_rules import axe_text, faults
from chromium_window import HAND, browser_page, draw, needs_chromium
from open_page import OpenPage, client_folder, request

pytestmark = needs_chromium


@pytest.fixture(scope="module")
def axe(shared_root):
    return axe_text(shared_root)


@pytest.mark.parametrize(("width", "scheme"), [(1280, "light"), (820, "dark")])
def test_no_fault_is_found_at_the_desk_or_on_a_tablet_before_and_after(
    tmp_path, axe, width, scheme
):
    page = OpenPage(request(client_folder(tmp_path)))
    with browser_page(tmp_path / "browser", width=width, color_scheme=scheme) as window:
        window.goto(page.address)
        window.wait_for_load_state("networkidle")
        assert not faults(window, axe)
        window.locator("summary").click()
        draw(window, HAND)
        window.locator("#consent").check()
        assert not faults(window, axe)
        window.locator("#accept").click()
        window.wait_for_selector("h1:has-text('Signed')")
        assert not faults(window, axe)
    assert page.end().grant.id

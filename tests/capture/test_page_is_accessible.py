"""WCAG 2.2, A and AA, as far as a machine can tell: axe-core, from npm where npm is here."""

import shutil
import subprocess

import pytest
from chromium_window import HAND, browser_page, draw, needs_chromium
from open_page import OpenPage, client_folder, request

pytestmark = needs_chromium
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
SECONDS = 120


@pytest.fixture(scope="module")
def axe(tmp_path_factory):
    """The text of axe-core."""
    npm = shutil.which("npm")
    if npm is None:
        pytest.skip("no npm here, so no axe-core: WCAG was not checked")
    folder = tmp_path_factory.mktemp("axe")
    install = [npm, "install", "--prefix", str(folder), "--no-audit", "--no-fund", "axe-core@4"]
    try:
        subprocess.run(install, check=True, capture_output=True, timeout=SECONDS)
    except (subprocess.SubprocessError, OSError):
        pytest.skip("npm did not bring axe-core: WCAG was not checked")
    return (folder / "node_modules" / "axe-core" / "axe.min.js").read_text(encoding="utf-8")


def faults(window, axe):
    window.evaluate(axe)
    found = window.evaluate(
        "(tags) => axe.run(document, {runOnly: {type: 'tag', values: tags}})", RULES
    )
    assert found["passes"]
    return [
        f"{rule['id']}: {node['html']}" for rule in found["violations"] for node in rule["nodes"]
    ]


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

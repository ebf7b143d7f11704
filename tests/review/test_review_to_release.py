"""From a folder with nothing built to a packet that may be mailed, by the pages alone."""

import shutil

import pytest
from chromium_window import follow, fresh_window, needs_chromium
from finished_packets import once
from office_folders import build, put_pdf, run_packets, small_client
from open_review import OpenReview

from packets.sealing.ledger import entries

pytestmark = needs_chromium
WHO = "Ines Calloway"
OFFICE = """\
[office]
name = "Larkspur & Dunmore Tax Office"
sender = "office@example.com"
"""
LONG = 60_000
"""Milliseconds for a build on a machine that is busy."""


def client_with_a_stray_page(folder):
    """A small client; a page of no known category holds its build."""
    client = small_client(folder / "client")
    put_pdf(client / "documents" / "stray.pdf", ["Garden club", "minutes of the meeting"])
    (client / "office.toml").write_text(OFFICE, encoding="utf-8")
    return client


@pytest.fixture(scope="session")
def held(shared_root, recipe):
    """Its folder after a build that was held; only to be copied."""

    def make(folder):
        run = build(client_with_a_stray_page(folder), str(recipe))
        assert run.status == 1, run.out

    return once(shared_root, "review-held", make) / "client"


@pytest.fixture
def client(held, tmp_path):
    return shutil.copytree(held, tmp_path / "root" / "marsh")


def mail(client, folder, recipe, where):
    """`packets mail --save` of the packet in that folder."""
    (packet,) = (client / folder).glob("*.pdf")
    return run_packets(
        "mail", packet, "--recipe", recipe, "--confirm", "--save", where / "message.eml", "--json"
    )


def test_a_held_build_is_corrected_built_looked_at_released_and_mailed(
    client, browser, recipe, tmp_path
):
    pages = OpenReview(client.parent)
    with fresh_window(browser) as window:
        window.goto(pages.address)
        assert "Held" in window.locator("tr[data-client]").inner_text()
        follow(window, "tbody th a")
        follow(window, ".holds a")
        window.locator("#who").fill(WHO)
        window.locator("#leave-why").fill("belongs to the garden club")
        window.locator("[data-send=leave-out]").click()
        window.wait_for_selector("#told:has-text('Written')")
        window.locator("#build-now").click()
        window.wait_for_selector("#told:has-text('waits for a decision')", timeout=LONG)
        assert window.locator(".over").inner_text() == "To review"
        assert "garden club" in window.locator("#main .left").inner_text()
        assert mail(client, "to-review", recipe, tmp_path).status == 1
        window.keyboard.press("n")
        assert "XXX-XX-3456" in window.locator("#now").inner_text()
        window.locator("#who").fill(WHO)
        window.locator("#looked").check()
        window.locator("#release").click()
        window.wait_for_selector("#told:has-text('Released.')")
        window.locator("#end").click()
    assert pages.end() == "done"
    events = [entry.event for entry in entries(client)]
    assert [one for one in events if one in ("held", "corrected", "reviewed", "released")] == [
        "held",
        "corrected",
        "reviewed",
        "released",
    ]
    assert mail(client, "outbound", recipe, tmp_path).status == 0


def test_a_place_that_is_hidden_is_gone_from_the_next_packet(built, browser, tmp_path):
    client = shutil.copytree(built, tmp_path / "pell")
    pages = OpenReview(client)
    with fresh_window(browser) as window:
        window.goto(pages.address)
        before = window.locator(".digest").inner_text()
        follow(window, "#page-3 figcaption a")
        window.locator("#who").fill(WHO)
        for name, value in (("left", "0.5"), ("down", "0.5"), ("wide", "7.5"), ("high", "1")):
            window.locator(f"#{name}").fill(value)
        window.locator("#hide-why").fill("not for the client")
        window.locator("[data-send=hide]").click()
        window.locator("#build-now").click()
        window.wait_for_selector("#told:has-text('waits for a decision')", timeout=LONG)
        assert window.locator(".digest").inner_text() != before
        assert window.locator("#page-3 g.blanked").count() == 1
        assert "1 hidden by a person" in window.locator("main").inner_text()
        window.locator("#end").click()
    pages.end()


def test_a_page_that_stays_out_is_shown_masked_where_it_is_corrected_and_in_the_list(
    client, browser
):
    pages = OpenReview(client)
    with fresh_window(browser) as window:
        window.goto(pages.address)
        follow(window, ".holds a")
        assert window.locator("[data-send=hide]").count() == 0
        window.locator("#show-source").click()
        window.wait_for_selector("#drawing img", timeout=LONG)
        assert window.locator("[data-send=hide]").count() == 1
        follow(window, "#back")
        window.locator("#left-out").scroll_into_view_if_needed()
        window.wait_for_selector(".slot img[src]", timeout=LONG)
        assert "1 shown" in window.locator("#left-out-told").inner_text()
        window.locator("#end").click()
        window.wait_for_selector("text=These pages were ended")
    pages.end()

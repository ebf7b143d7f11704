"""The machine's own Chromium, driven by Playwright's Python package."""

import contextlib
import shutil

import pytest

FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
CHROMIUM = next(filter(None, map(shutil.which, ("chromium", "chromium-browser"))), None)
needs_chromium = pytest.mark.skipif(
    CHROMIUM is None, reason="no Chromium here (Debian: apt-get install chromium)"
)


@contextlib.contextmanager
def browser_page(folder, width=1280, height=900, **more):
    """A window of a fresh browser; whatever it asks of another host fails the test."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        context = driver.chromium.launch_persistent_context(
            folder,
            executable_path=CHROMIUM,
            headless=True,
            args=FLAGS,
            viewport={"width": width, "height": height},
            **more,
        )
        asked = []
        context.on("request", lambda request: asked.append(request.url))
        try:
            yield context.pages[0]
        finally:
            context.close()
        assert not [url for url in asked if not url.startswith(("http://127.0.0.1:", "data:"))]


@contextlib.contextmanager
def one_browser():
    """One browser for many windows, each of them fresh: it starts but once."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=CHROMIUM, headless=True, args=FLAGS)
        try:
            yield browser
        finally:
            browser.close()


@contextlib.contextmanager
def fresh_window(browser, width=1280, height=900, **more):
    """A window with no cookie; whatever it asks of another host fails the test."""
    context = browser.new_context(viewport={"width": width, "height": height}, **more)
    asked = []
    context.on("request", lambda request: asked.append(request.url))
    try:
        yield context.new_page()
    finally:
        context.close()
    assert not [url for url in asked if not url.startswith(("http://127.0.0.1:", "data:"))]


def follow(page, link):
    """Choose a link and wait until the page behind it and its scripts are there."""
    with page.expect_navigation():
        page.locator(link).click()


def draw(page, points):
    """One stroke with the mouse; points in shares of the pad."""
    page.locator("#pad").hover()  # scrolls there, and waits until it stands still
    box = page.locator("#pad").bounding_box()
    at = [(box["x"] + x * box["width"], box["y"] + y * box["height"]) for x, y in points]
    page.mouse.move(*at[0])
    page.mouse.down()
    for x, y in at[1:]:
        page.mouse.move(x, y, steps=4)
    page.mouse.up()


HAND = [(0.1, 0.6), (0.2, 0.2), (0.25, 0.7), (0.35, 0.3), (0.4, 0.7), (0.55, 0.45), (0.7, 0.65)]
DASH = [(0.15, 0.85), (0.75, 0.8)]

"""A client folder whose packet waits for a person; built once for all test processes."""

import shutil
from pathlib import Path

import pytest
from chromium_window import fresh_window, one_browser
from finished_packets import once
from office_folders import SAMPLES_ROOT, build, sample_copy
from open_review import OpenReview

RECIPES = SAMPLES_ROOT.parent / "recipes"


def looked_at_recipe(folder: Path) -> Path:
    """The client copy, which here must be looked at before it goes out."""
    text = (RECIPES / "client-copy.toml").read_text(encoding="utf-8")
    path = folder / "looked-at.toml"
    path.write_text(
        text.replace('name = "client-copy"', 'name = "looked-at"') + "\n[release]\nreview = true\n",
        encoding="utf-8",
    )
    return path


@pytest.fixture(scope="session")
def recipe(shared_root) -> Path:
    """A recipe whose packets wait for a person."""
    return once(shared_root, "review-recipe", looked_at_recipe) / "looked-at.toml"


@pytest.fixture(scope="session")
def built(shared_root, recipe) -> Path:
    """The single filer's folder with a packet that waits; only to be looked at and copied."""

    def make(folder: Path) -> None:
        run = build(sample_copy("single-filer", folder / "client"), str(recipe))
        assert run.status == 0, run.err

    return once(shared_root, "review-built", make) / "client"


@pytest.fixture
def waiting(built, tmp_path) -> Path:
    """A fresh copy of it."""
    return Path(shutil.copytree(built, tmp_path / "clients" / "pell"))


@pytest.fixture(scope="module")
def browser():
    """One browser for all tests of a module."""
    with one_browser() as browser:
        yield browser


@pytest.fixture
def pages(waiting):
    """The pages of one client, open."""
    return OpenReview(waiting)


@pytest.fixture
def window(pages, browser):
    """Its packet in a window; its scripts must fail nowhere, and the pages are ended after it."""
    with fresh_window(browser) as window:
        failed = []
        window.on("pageerror", lambda error: failed.append(str(error)))
        window.goto(pages.address)
        yield window
        if window.locator("#end:enabled").count():
            window.locator("#end").click()
            window.wait_for_selector("text=These pages were ended")
    assert not failed
    pages.end()

"""One page corrected in a real browser: by mouse, by number, by keyboard alone."""

import tomllib

import pytest
from chromium_window import follow, needs_chromium

pytestmark = needs_chromium
RETURN = "documents/2025-tax-return.pdf"


def to_correct(window, page):
    follow(window, f"#page-{page} figcaption a")
    window.locator("#who").fill("Ines Calloway")


def written(client, key):
    return tomllib.loads((client / "engagement.toml").read_text(encoding="utf-8")).get(key, [])


def sent(window, kind):
    window.locator(f"[data-send={kind}]").click()
    window.wait_for_selector("#told:has-text('Written to engagement.toml')")


def test_a_place_is_drawn_with_the_mouse(window, waiting):
    to_correct(window, 8)
    sheet = window.locator("#drawing .sheet")
    sheet.hover()
    box = sheet.bounding_box()
    window.mouse.move(box["x"] + box["width"] / 4, box["y"] + box["height"] / 4)
    window.mouse.down()
    window.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 3, steps=3)
    window.mouse.up()
    assert float(window.locator("#wide").input_value()) == pytest.approx(8.5 / 4, abs=0.03)
    window.locator("#hide-why").fill("a remark that is not for the client")
    sent(window, "hide")
    assert window.evaluate("document.activeElement.id") == "build-now"
    (region,) = written(waiting, "blank")
    assert (region["file"], region["page"]) == (RETURN, 1)
    # In points from the upper left corner, as in the manifest.
    assert region["box"] == pytest.approx([153, 198, 306, 264], abs=3)


def test_a_place_is_set_by_keyboard_alone(window, waiting):
    to_correct(window, 8)
    window.locator("#drawing .sheet").focus()
    for key in ("ArrowLeft", "ArrowLeft", "ArrowDown", "Shift+ArrowRight"):
        window.keyboard.press(key)
    values = [window.locator(f"#{name}").input_value() for name in ("left", "down", "wide", "high")]
    assert values == ["3.20", "5.38", "2.05", "0.33"]
    window.locator("#left").fill("1.25")
    window.locator("#hide-why").fill("a remark")
    window.locator("[data-send=hide]").focus()
    window.keyboard.press("Enter")
    window.wait_for_selector("#told:has-text('Written')")
    assert written(waiting, "blank")[0]["box"][0] == pytest.approx(90)


def test_a_category_is_written_for_several_pages_and_the_packet_is_out_of_date(window, waiting):
    to_correct(window, 8)
    window.locator("#category").fill("worksheet")
    window.locator("#category-pages").fill("1-2")
    sent(window, "category")
    (help_,) = written(waiting, "document")
    assert (help_["file"], help_["category"]) == (RETURN, "worksheet")
    follow(window, "#back")
    window.wait_for_selector("text=Changed since it was built")
    assert window.locator("#release").count() == 0
    assert "corrected" in window.locator("table").last.inner_text()


def test_a_mask_that_was_wrong_is_named_by_its_place_and_needs_a_reason(window, waiting):
    to_correct(window, 8)
    window.locator("[data-send=not-a-number]").click()
    assert "which mask" in window.locator("#told").inner_text()
    window.locator("input[name=mark]").first.check()
    window.locator("[data-send=not-a-number]").click()
    assert "Say why" in window.locator("#told").inner_text()
    window.locator("#number-why").fill("the number of an invoice")
    sent(window, "not-a-number")
    (place,) = written(waiting, "not_a_number")
    assert (place["file"], place["page"]) == (RETURN, 1)
    assert place["why"] == "the number of an invoice"


def test_what_cannot_be_written_is_told_and_nothing_is_written(window, waiting):
    before = (waiting / "engagement.toml").read_bytes()
    to_correct(window, 8)
    window.locator("[data-send=category]").click()
    assert "category is missing" in window.locator("#told").inner_text()
    window.locator("#category").fill("worksheet")
    window.locator("#category-pages").fill("7")
    window.locator("[data-send=category]").click()
    window.wait_for_selector("#told:has-text('no such page')")
    window.locator("[data-send=hide]").click()
    assert "Draw a box" in window.locator("#told").inner_text()
    assert (waiting / "engagement.toml").read_bytes() == before


def test_a_second_tab_does_not_write_over_what_another_wrote(window, waiting):
    to_correct(window, 8)
    other = window.context.new_page()
    other.goto(window.url)
    for tab, why in ((window, "a duplicate"), (other, "not asked for")):
        tab.locator("#who").fill("Ines Calloway")
        tab.locator("#leave-why").fill(why)
    sent(window, "leave-out")
    other.locator("[data-send=leave-out]").click()
    other.wait_for_selector("#told:has-text('changed in the meantime')")
    assert [one["why"] for one in written(waiting, "leave_out")] == ["a duplicate"]

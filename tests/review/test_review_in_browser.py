"""One packet in a real browser: its pages, its marks, and the decision about it."""

from chromium_window import follow, needs_chromium

from packets.sealing.ledger import entries

pytestmark = needs_chromium
WHO = "Ines Calloway"


def decisions(client):
    """What the ledger says that persons decided."""
    return [entry.facts for entry in entries(client) if entry.event == "reviewed"]


def drawn(window, number):
    """Whether the picture of a page has come."""
    return window.evaluate(f"document.querySelector('#page-{number} img').naturalWidth > 0")


def come(window, number):
    """Wait for the picture of a page."""
    for _ in range(100):
        if drawn(window, number):
            return True
        window.wait_for_timeout(50)
    return False


def test_it_says_for_whom_and_what_it_is_and_shows_the_first_page_at_once(window, pages):
    assert window.locator("h1").inner_text() == "Leander Pell"
    assert window.locator(".over").inner_text() == "To review"
    assert "Your 2025 income tax return" in window.locator("header").inner_text()
    assert "looked-at, for the client, 11 pages, encrypted" in window.locator("dl").inner_text()
    assert come(window, 1)
    assert not drawn(window, 11)  # far below: asked for when one comes near
    assert pages.address.rpartition("/")[2] not in window.url
    assert "6 masked, 4 signed" in window.locator("main").inner_text()


def test_one_steps_from_mark_to_mark_by_keys_and_by_buttons(window):
    now = window.locator("#now")
    assert window.locator("#before").is_disabled()
    seen = []
    for _ in range(3):
        window.keyboard.press("n")
        seen.append(now.inner_text())
    assert [words.split(",")[0] for words in seen] == [f"Mark {n} of 10" for n in (1, 2, 3)]
    assert "ITIN, shows XXX-XX-4321" in seen[0]
    assert window.locator("g.chosen").get_attribute("data-mark") == "3"
    window.keyboard.press("b")
    assert now.inner_text() == seen[1]
    window.locator("#next").click()
    assert now.inner_text() == seen[2]
    for _ in range(12):
        window.keyboard.press("n")
    assert now.inner_text().startswith("Mark 10 of 10, page 11")
    assert window.locator("#next").is_disabled()
    box = window.locator("g.chosen rect.line").bounding_box()
    assert 0 <= box["y"] <= 820  # above the bar
    assert come(window, 11)


def test_keys_turn_pages_hide_marks_and_can_be_switched_off(window):
    window.keyboard.press("Shift+N")
    assert window.evaluate("document.activeElement.id") == "page-2"
    window.keyboard.press("m")
    assert not window.locator("g.mark rect").first.is_visible()
    window.keyboard.press("m")
    assert window.locator("g.mark rect").first.is_visible()
    before = window.locator("#page-2 .sheet").bounding_box()["width"]
    window.keyboard.press("l")
    assert window.locator("#page-2 .sheet").bounding_box()["width"] > before
    assert window.evaluate("document.documentElement.scrollWidth") <= 1280
    window.keyboard.press("l")
    window.locator("#keys-on").uncheck()
    before = window.locator("#now").inner_text()
    window.keyboard.press("n")
    assert window.locator("#now").inner_text() == before


def test_the_words_of_a_page_can_be_read_instead_of_its_picture(window):
    window.locator("#page-6 summary").click()
    window.wait_for_selector("#page-6 pre:has-text('IRS e-file Signature Authorization')")
    assert "XXX-XX-4321" in window.locator("#page-6 pre").inner_text()


def test_a_hold_needs_a_name_and_a_note_and_is_shown_afterwards(window, waiting):
    window.locator("#hold").click()
    assert "needs a note" in window.locator("#decided").inner_text()
    window.locator("#note").fill("The second W-2 is not legible.")
    window.locator("#hold").click()
    assert "name is missing" in window.locator("#decided").inner_text()
    window.locator("#who").fill(WHO)
    window.locator("#hold").click()
    window.wait_for_selector("#told:has-text('Held.')")
    assert window.evaluate("document.activeElement.id") == "title"
    assert 0 < window.locator("#told").bounding_box()["y"] < 800
    assert window.locator(".over").inner_text() == "Held"
    assert "not legible" in window.locator(".holds").inner_text()
    ((fact),) = decisions(waiting)
    assert (fact["decision"], fact["who"]) == ("held", WHO)
    assert not (waiting / "outbound").exists()


def test_a_number_in_a_note_is_refused_and_the_answer_does_not_repeat_it(window, waiting):
    window.locator("#who").fill(WHO)
    window.locator("#note").fill("ask about 666-12-3456")
    window.locator("#hold").click()
    window.wait_for_selector("#decided:has-text('number')")
    assert "666" not in window.locator("#decided").inner_text()
    assert not decisions(waiting)


def test_a_release_needs_a_person_who_says_that_they_looked(window, waiting):
    window.locator("#release").click()
    assert "Tick the box" in window.locator("#decided").inner_text()
    window.locator("#who").fill(WHO)
    window.locator("#looked").check()
    window.locator("#release").click()
    window.wait_for_selector("#told:has-text('Released.')")
    assert window.locator("#release").count() == 0
    ((fact),) = decisions(waiting)
    assert (fact["decision"], fact["who"]) == ("released", WHO)
    assert [path.suffix for path in sorted((waiting / "outbound").glob("2025*"))] == [
        ".json",
        ".pdf",
    ]


def focused(window):
    return window.evaluate("document.activeElement.id")


def test_a_packet_is_released_by_keyboard_alone_and_nothing_hides_what_is_in_focus(window, waiting):
    window.keyboard.press("Tab")
    assert window.evaluate("document.activeElement.textContent") == "Go to the pages"
    window.keyboard.press("d")
    assert focused(window) == "decide"
    bar = window.locator("#stepper").bounding_box()
    for name, key in (("who", WHO), ("looked", " "), ("release", "\n")):
        window.keyboard.press("Tab")
        assert focused(window) == name
        box = window.locator(f"#{name}").bounding_box()
        assert box["y"] + box["height"] <= bar["y"]
        window.keyboard.type(key)
    window.wait_for_selector("#told:has-text('Released.')")
    assert decisions(waiting)[0]["decision"] == "released"


def test_a_second_tab_cannot_decide_about_what_another_has_decided(window, waiting):
    other = window.context.new_page()
    other.goto(window.url)
    for tab in (window, other):
        tab.locator("#who").fill(WHO)
        tab.locator("#looked").check()
    window.locator("#release").click()
    window.wait_for_selector("#told:has-text('Released.')")
    other.locator("#release").click()
    other.wait_for_selector("#decided:not(:empty)")
    assert len(decisions(waiting)) == 1
    other.reload()
    assert other.locator(".over").inner_text() == "Released"


def test_a_packet_whose_sources_changed_underneath_is_not_released(window, waiting):
    letter = waiting / "documents" / "letter.pdf"
    letter.write_bytes(letter.read_bytes() + b"\n% later\n")
    window.locator("#who").fill(WHO)
    window.locator("#looked").check()
    window.locator("#release").click()
    window.wait_for_selector("#decided:has-text('out of date')")
    assert not decisions(waiting)
    window.reload()
    assert "Changed since it was built" in window.locator("main").inner_text()
    assert window.locator("#release").count() == 0


def test_a_packet_with_other_bytes_is_neither_shown_nor_released(window, waiting):
    (packet,) = (waiting / "to-review").glob("*.pdf")
    packet.write_bytes(packet.read_bytes() + b"\n% later\n")
    window.locator("#who").fill(WHO)
    window.locator("#looked").check()
    window.locator("#release").click()
    window.wait_for_selector("#decided:has-text('not the file')")
    assert window.reload().status == 409
    assert "This cannot be shown" in window.locator("h1").inner_text()
    window.evaluate(
        "fetch('../../end', {method: 'POST', headers: {'Content-Type': 'application/json'}})"
    )
    assert not decisions(waiting)


def test_when_the_program_stops_the_page_says_so_and_decides_nothing(window, pages, waiting):
    window.evaluate("review.send('../../end', {})")
    pages.end()
    window.locator("#who").fill(WHO)
    window.locator("#looked").check()
    window.locator("#release").click()
    window.wait_for_selector("text=This page has ended")
    assert window.locator("#release").is_disabled()
    assert not decisions(waiting)


def test_nothing_is_cut_off_at_a_desk_on_a_tablet_and_at_twice_the_size(window):
    def widths():
        for width in (1280, 820, 410):
            window.set_viewport_size({"width": width, "height": 900})
            yield width, window.evaluate("document.documentElement.scrollWidth")

    assert all(wide <= width for width, wide in widths())
    follow(window, "#page-8 figcaption a")
    assert all(wide <= width for width, wide in widths())

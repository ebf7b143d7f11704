"""The page in a real browser: pen, finger, mouse and keyboard; nothing asked of another host."""

from itertools import pairwise

import pytest
from chromium_window import DASH, HAND, browser_page, draw, needs_chromium
from open_page import OpenPage, client_folder, request
from PIL import Image

from packets.base.errors import Held
from packets.signatures.artwork import load_artwork

pytestmark = needs_chromium


@pytest.fixture
def client(tmp_path):
    return client_folder(tmp_path)


@pytest.fixture
def page(client):
    return OpenPage(request(client))


@pytest.fixture
def window(page, tmp_path):
    """The page in a browser window; left by the button where a test did not end it."""
    with browser_page(tmp_path / "browser", has_touch=True) as window:
        window.goto(page.address)
        window.wait_for_load_state("networkidle")
        window.locator("#pad").scroll_into_view_if_needed()
        yield window
        if window.locator("#decline").count():
            leave(window)
    page.end()


def leave(window):
    window.locator("#decline").click()
    window.wait_for_selector("h1:has-text('Not signed')")


def accept(window):
    window.locator("#consent").check()
    window.locator("#accept").click()
    window.wait_for_selector("h1:has-text('Signed')")


def pad_says(window):
    return window.locator("#pad").get_attribute("aria-label")


def kept_strokes(client, page):
    """The strokes of the drawing that was kept."""
    grant = page.end().grant
    kept = client / "signatures" / grant.image
    assert load_artwork(kept).width > 0
    return kept.with_suffix(".svg").read_text().count("<path")


def test_one_signs_with_the_mouse_and_the_signature_is_kept(client, page, window):
    assert page.address.rpartition("/")[2] not in window.url
    draw(window, HAND)
    draw(window, DASH)
    assert window.locator("#accept").is_disabled()  # the sentence is not agreed to yet
    accept(window)
    assert kept_strokes(client, page) == 2
    with Image.open(client / "signatures" / page.recorded.grant.image) as picture:
        assert picture.width > 2 * picture.height


def pointer(window, kind, points, pressure):
    """Pointer events as the browser's own input makes them, of a pen or a finger."""
    box = window.locator("#pad").bounding_box()
    session = window.context.new_cdp_session(window)
    for at, (x, y) in enumerate(points):
        place = {"x": box["x"] + x * box["width"], "y": box["y"] + y * box["height"]}
        if kind == "pen":
            step = "mousePressed" if at == 0 else "mouseMoved"
            session.send(
                "Input.dispatchMouseEvent",
                {
                    "type": step, **place, "button": "left", "buttons": 1, "clickCount": 1,
                    "pointerType": "pen", "force": pressure(at / len(points)),
                },
            )  # fmt: skip
        else:
            step = "touchStart" if at == 0 else "touchMove"
            session.send("Input.dispatchTouchEvent", {"type": step, "touchPoints": [place]})
    if kind == "pen":
        last = {**place, "button": "left", "clickCount": 1, "pointerType": "pen"}
        session.send("Input.dispatchMouseEvent", {"type": "mouseReleased", **last})
    else:
        session.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    session.detach()


def between(points, pieces=6):
    """The same way in small steps."""
    for (x0, y0), (x1, y1) in pairwise(points):
        for piece in range(pieces):
            share = piece / pieces
            yield x0 + (x1 - x0) * share, y0 + (y1 - y0) * share


@pytest.mark.parametrize("kind", ["pen", "finger"])
def test_a_pen_or_a_finger_draws_without_scrolling_the_page(client, page, window, kind):
    before = window.evaluate("scrollY")
    seen = window.evaluate_handle(
        "() => { const kinds = new Set(); document.getElementById('pad')"
        ".addEventListener('pointermove', (e) => kinds.add(e.pointerType)); return kinds; }"
    )
    pointer(window, kind, list(between(HAND)), lambda share: 0.2 + 0.7 * share)
    assert seen.evaluate("(kinds) => [...kinds]") == ["pen" if kind == "pen" else "touch"]
    assert window.evaluate("scrollY") == before
    assert pad_says(window) == "Signing pad, 1 strokes drawn"
    accept(window)
    assert kept_strokes(client, page) == 1


def test_clear_and_undo_take_strokes_back(window):
    draw(window, HAND)
    draw(window, DASH)
    window.locator("#undo").click()
    assert pad_says(window) == "Signing pad, 1 strokes drawn"
    window.locator("#clear").click()
    assert pad_says(window) == "Signing pad, empty"
    assert window.locator("#clear").is_disabled()
    assert window.evaluate("document.activeElement.id") == "paper"


def focused(window):
    return window.evaluate("document.activeElement.id || document.activeElement.className")


def test_everything_but_the_drawing_is_done_by_keyboard_alone(client, page, window):
    window.evaluate("document.activeElement.blur(); window.scrollTo(0, 0)")
    order = []
    for _ in range(12):
        window.keyboard.press("Tab")
        order.append(focused(window))
        if order[-1] == "consent":
            window.keyboard.press("Space")
        if order[-1] == "paper":
            break
    assert order[0] == "skip"
    assert order[-2:] == ["consent", "paper"]
    draw(window, HAND)
    draw(window, DASH)
    window.locator("#paper").focus()
    window.keyboard.press("Backspace")
    assert pad_says(window) == "Signing pad, 1 strokes drawn"
    window.keyboard.press("Delete")
    assert pad_says(window) == "Signing pad, empty"
    draw(window, HAND)
    window.locator("#paper").focus()
    window.keyboard.press("Enter")
    window.wait_for_selector("h1:has-text('Signed')")
    assert window.evaluate("document.activeElement.tagName") == "H1"
    assert kept_strokes(client, page) == 1


def test_too_little_ink_is_told_and_one_may_go_on(client, page, window):
    draw(window, [(0.3, 0.5), (0.305, 0.5)])
    window.locator("#consent").check()
    window.locator("#accept").click()
    window.wait_for_selector("#told:has-text('too little ink')")
    window.locator("#clear").click()
    draw(window, HAND)
    accept(window)
    assert kept_strokes(client, page) == 1


def test_a_second_tab_shows_the_page_and_learns_that_it_was_answered(client, page, window):
    other = window.context.new_page()
    assert other.goto(page.address).status == 403
    assert other.goto(window.url).status == 200
    draw(other, HAND)
    other.locator("#consent").check()
    draw(window, HAND)
    accept(window)
    other.locator("#accept").click()
    told = ("does not answer", "Not recorded", "has ended")
    other.wait_for_selector(", ".join(f"h1:has-text('{words}')" for words in told))
    assert kept_strokes(client, page) == 1
    assert len(list((client / "signatures").glob("*.png"))) == 1


def test_without_its_cookie_the_browser_sees_nothing(window):
    url, cookies = window.url, window.context.cookies()
    assert [(c["httpOnly"], c["sameSite"]) for c in cookies] == [(True, "Strict")]
    window.context.clear_cookies()
    assert window.goto(url).status == 403
    window.context.add_cookies(cookies)
    assert window.goto(url).status == 200


def test_the_page_reaches_nothing_and_runs_nothing_that_is_not_its_own(window):
    blocked = window.evaluate(
        """async () => {
          const events = [];
          const hear = (event) => events.push(event.violatedDirective);
          document.addEventListener('securitypolicyviolation', hear);
          const script = document.createElement('script');
          script.textContent = 'window.broken = true';
          document.body.append(script);
          const image = new Image();
          image.src = 'http://127.0.0.1:9/x.png';
          document.body.append(image);
          await fetch('http://127.0.0.1:9/').catch(() => {});
          await new Promise((done) => setTimeout(done, 300));
          return [window.broken === true, [...new Set(events)].sort()];
        }"""
    )
    assert blocked == [False, ["connect-src", "img-src", "script-src-elem"]]
    assert window.evaluate("document.cookie") == ""


@pytest.mark.parametrize("width", [1280, 820, 400])
def test_nothing_is_cut_off_at_the_width_of_a_desk_a_tablet_and_a_zoomed_window(window, width):
    window.set_viewport_size({"width": width, "height": 900})
    assert window.evaluate("document.documentElement.scrollWidth") <= width
    for name in ("accept", "clear", "undo", "decline", "pad"):
        box = window.locator(f"#{name}").bounding_box()
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= width
        assert box["height"] >= 44


def test_one_who_declines_is_told_that_nothing_was_recorded(client, page, window):
    leave(window)
    assert isinstance(page.end(), Held)
    assert not (client / "signatures").exists()

"""Who is let in to a page: one browser, by its own address, and nobody else."""

import pytest
from heads import HOST, JSON, ORIGIN, OWN, PORT, TYPED, entered, token_path

from packets.loopback.admission import Admission, Admitted, Enters, Head, Refused


@pytest.fixture
def admission():
    return Admission(PORT)


def status(answer):
    assert isinstance(answer, Refused)
    return answer.status


def test_the_token_opens_once_and_gives_a_cookie_that_scripts_and_other_sites_cannot_use(admission):
    first = admission.judge(Head("GET", token_path(admission), (HOST, *TYPED)))
    assert isinstance(first, Enters)
    facts = [part.strip() for part in first.cookie.split(";")]
    assert {"HttpOnly", "SameSite=Strict", f"Path={first.room}"} <= set(facts)
    again = admission.judge(Head("GET", token_path(admission), (HOST, *TYPED)))
    assert "used before" in again.words
    assert status(again) == 403


def test_with_the_cookie_the_room_is_open_again_and_again(admission):
    room, cookie = entered(admission)
    for _ in range(3):
        seen = admission.judge(Head("GET", f"{room}pages/1.png", (HOST, cookie, *OWN)))
        assert isinstance(seen, Admitted)
        assert seen.room == room.rstrip("/")


@pytest.mark.parametrize(
    "path", ["/", "/pages/1.png", "/wrong-token", "/../x", "//", "/favicon.ico"]
)
def test_without_token_or_cookie_every_path_is_refused_alike(admission, path):
    room, _ = entered(admission)
    assert status(admission.judge(Head("GET", path, (HOST, *TYPED)))) == 403
    inside = f"{room}{path.lstrip('/')}"
    assert status(admission.judge(Head("GET", inside, (HOST, *TYPED)))) == 403


def test_the_cookie_opens_nothing_outside_its_room(admission):
    _, cookie = entered(admission)
    for path in ("/", "/x/", "/pages/1.png"):
        assert status(admission.judge(Head("GET", path, (HOST, cookie)))) == 403


@pytest.mark.parametrize(
    "cookie", ["packets-page=", "packets-page=wrong", "other=1", "packets-page", "packets-page=é"]
)
def test_a_wrong_cookie_opens_nothing(admission, cookie):
    room, _ = entered(admission)
    assert status(admission.judge(Head("GET", room, (HOST, ("cookie", cookie))))) == 403


def test_the_cookie_counts_among_others(admission):
    room, (_, mine) = entered(admission)
    many = ("cookie", f"a=b; {mine}; c=d")
    assert isinstance(admission.judge(Head("GET", room, (HOST, many))), Admitted)


@pytest.mark.parametrize(
    "hosts",
    [
        (),
        (("host", "example.com"),),
        (("host", f"localhost:{PORT}"),),
        (("host", "127.0.0.1"),),
        (("host", f"127.0.0.1:{PORT}.example.com"),),
        (HOST, HOST),
        (HOST, ("host", "example.com")),
    ],
)
def test_a_foreign_host_is_refused_even_with_token_or_cookie(admission, hosts):
    room, cookie = entered(admission)
    assert status(admission.judge(Head("GET", room, (*hosts, cookie)))) == 403
    fresh = Admission(PORT)
    assert status(fresh.judge(Head("GET", token_path(fresh), hosts))) == 403
    assert isinstance(fresh.judge(Head("GET", token_path(fresh), (HOST,))), Enters)


@pytest.mark.parametrize("site", ["cross-site", "same-site", "", "nonsense"])
def test_what_another_site_causes_is_refused(admission, site):
    room, cookie = entered(admission)
    caused = ("sec-fetch-site", site)
    assert status(admission.judge(Head("GET", room, (HOST, cookie, caused)))) == 403
    post = (HOST, cookie, ORIGIN, JSON, caused)
    assert status(admission.judge(Head("POST", f"{room}signature", post))) == 403


def test_a_page_of_ours_in_a_frame_is_refused(admission):
    room, cookie = entered(admission)
    framed = (("sec-fetch-site", "same-origin"), ("sec-fetch-mode", "navigate"))
    for dest in ("iframe", "object", "embed"):
        heads = (HOST, cookie, *framed, ("sec-fetch-dest", dest))
        assert status(admission.judge(Head("GET", room, heads))) == 403


@pytest.mark.parametrize(
    "origins",
    [
        (),
        (("origin", "null"),),
        (("origin", "http://example.com"),),
        (("origin", f"https://127.0.0.1:{PORT}"),),
        (("origin", f"http://127.0.0.1:{PORT + 1}"),),
        (ORIGIN, ORIGIN),
    ],
)
def test_an_answer_from_another_origin_is_refused(admission, origins):
    room, cookie = entered(admission)
    heads = (HOST, cookie, JSON, *OWN, *origins)
    assert status(admission.judge(Head("POST", f"{room}signature", heads))) == 403


@pytest.mark.parametrize("media", ["", "text/plain", "application/x-www-form-urlencoded"])
def test_an_answer_that_a_plain_form_could_send_is_refused(admission, media):
    room, cookie = entered(admission)
    heads = (HOST, cookie, ORIGIN, *OWN, ("content-type", media))
    assert status(admission.judge(Head("POST", f"{room}signature", heads))) == 415


@pytest.mark.parametrize("method", ["HEAD", "OPTIONS", "PUT", "DELETE", "TRACE", "CONNECT"])
def test_other_methods_are_refused(admission, method):
    room, cookie = entered(admission)
    assert status(admission.judge(Head(method, room, (HOST, cookie, ORIGIN, JSON)))) == 405


@pytest.mark.parametrize("name", ["sec-purpose", "purpose"])
def test_a_browser_that_looks_ahead_does_not_use_the_token_up(admission, name):
    ahead = (HOST, (name, "prefetch;prerender"), *TYPED)
    assert status(admission.judge(Head("GET", token_path(admission), ahead))) == 403
    assert isinstance(admission.judge(Head("GET", token_path(admission), (HOST, *TYPED))), Enters)


def test_no_two_pages_share_a_secret_and_none_is_printed(admission):
    other = Admission(PORT)
    assert admission.address != other.address
    room, (_, cookie) = entered(admission)
    told = repr(admission.judge(Head("GET", room, (HOST, ("cookie", cookie)))))
    assert cookie.partition("=")[2] not in told + repr(Head("GET", room, (("cookie", cookie),)))

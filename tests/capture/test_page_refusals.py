"""An open page, asked by everybody who should not get in, and by one who should."""

import socket

import httpx
import pytest
from open_page import OpenPage, Visitor, client_folder, request, signature

from packets.base.errors import Held


def written(client):
    """What a signature would have left."""
    return [path for name in ("signatures", "ledger.jsonl") for path in client.glob(name)]


@pytest.fixture(scope="module")
def client(tmp_path_factory):
    return client_folder(tmp_path_factory.mktemp("refusals"))


@pytest.fixture(scope="module")
def page(client):
    opened = OpenPage(request(client))
    opened.visitor = Visitor(opened)
    yield opened
    opened.visitor.leave()
    assert isinstance(opened.end(), Held)
    assert not written(client)


def plain(page, path="", **more):
    """Asked by somebody without the cookie."""
    return httpx.get(page.visitor.origin + path, trust_env=False, **more)


def raw(page, head: str) -> bytes:
    """A request exactly as written."""
    port = int(page.visitor.origin.rpartition(":")[2])
    with socket.create_connection(("127.0.0.1", port), 30) as line:
        line.sendall(head.encode())
        answer = b""
        while piece := line.recv(65536):
            answer += piece
    return answer


def test_the_visitor_with_the_token_sees_the_page(page):
    shown = page.visitor.get()
    assert shown.status_code == 200
    assert "What you say by signing" in shown.text
    assert "Form 8879" in shown.text
    assert shown.headers["cache-control"] == "no-store"
    assert "default-src 'none'" in shown.headers["content-security-policy"]


def test_the_used_token_opens_nothing_more(page):
    again = httpx.get(page.address, trust_env=False)
    assert again.status_code == 403
    assert "set-cookie" not in again.headers


@pytest.mark.parametrize(
    "path", ["/", "/pages/1.png", "/signature", "/paper.css", "/favicon.ico", "/wrong", "/%2e%2e/"]
)
def test_without_token_nothing_is_told(page, path):
    for asked in (path, page.visitor.room + path.lstrip("/")):
        answer = plain(page, asked)
        assert answer.status_code == 403
        assert "Pell" not in answer.text


def test_an_answer_without_cookie_is_refused(page):
    answer = httpx.post(
        f"{page.visitor.origin}{page.visitor.room}signature",
        json=signature(),
        headers={"origin": page.visitor.origin},
        trust_env=False,
    )
    assert answer.status_code == 403


@pytest.mark.parametrize(
    "path",
    [
        "../capture.py",
        "..%2f..%2fcapture.py",
        "page/sign.html",
        "sign.html",
        "pages/../sign.html",
        "pages/0.png",
        "pages/2.png",
        "pages/-1.png",
        "pages/1.png/../../x",
        "pages/%2fetc%2fpasswd",
        "pages/99999999999999999999.png",
        "pad.js/",
        "x",
    ],
)
def test_no_path_leads_to_another_file(page, path):
    host = page.visitor.origin.removeprefix("http://")
    heads = f"Host: {host}\r\nCookie: {page.visitor.cookie}\r\nConnection: close\r\n\r\n"
    answer = raw(page, f"GET {page.visitor.room}{path} HTTP/1.1\r\n{heads}")
    assert answer.split(b" ", 2)[1] in (b"403", b"404")
    assert b"import" not in answer
    assert b"root:" not in answer


def test_a_foreign_host_is_refused_with_the_cookie_too(page):
    assert page.visitor.get(headers={"host": "packets.example"}).status_code == 403


@pytest.mark.parametrize(
    "heads",
    [
        {"origin": "http://evil.example"},
        {"origin": "null"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ],
)
def test_an_answer_that_another_site_sends_is_refused(page, heads):
    assert page.visitor.post("signature", signature(), heads).status_code == 403


def test_an_answer_larger_than_any_signature_is_refused(page):
    answer = page.visitor.post("signature", {"consent": True, "strokes": ["x" * 1_100_000]})
    assert answer.status_code == 413


@pytest.mark.parametrize(
    ("sent", "words"),
    [
        ({}, "did not arrive"),
        ({"consent": True, "strokes": [[[1, 1, 0, 0], [5000, 1, 1, 0]]]}, "did not arrive"),
        ({"consent": True, "strokes": [[[1, 1, 0, 0]]]}, "too little ink"),
        (signature(consent=False), "not ticked"),
        ({**signature(), "svg": "<svg onload='x()'/>"}, "did not arrive"),
    ],
)
def test_what_is_no_signature_is_told_and_the_page_stays_open(page, sent, words):
    answer = page.visitor.post("signature", sent)
    assert answer.status_code == 422
    assert words in answer.json()["what"]
    assert answer.json()["remedy"]
    assert page.visitor.get().status_code == 200


def test_a_get_signs_nothing(page):
    assert page.visitor.get("signature").status_code in (404, 405)
    assert page.visitor.get("decline").status_code in (404, 405)

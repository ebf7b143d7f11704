"""Open pages, asked by everybody who should not get in, and by one who should."""

import shutil
import socket

import httpx
import pytest
from open_review import OpenReview, Visitor

from packets.sealing.ledger import entries


@pytest.fixture(scope="module")
def client(built, tmp_path_factory):
    return shutil.copytree(built, tmp_path_factory.mktemp("refusals") / "season" / "pell")


@pytest.fixture(scope="module")
def pages(client):
    opened = OpenReview(client.parent)
    opened.visitor = Visitor(opened)
    opened.client = opened.visitor.get().text.split('th scope="row"><a href="')[1].split("/")[0]
    opened.packet = (
        opened.client + "/" + opened.visitor.get(f"{opened.client}/").headers["location"]
    )
    yield opened
    assert not [entry for entry in entries(client) if entry.event in ("reviewed", "corrected")]
    opened.visitor.leave()
    assert opened.end() == "done"


def plain(pages, path="", **more):
    """Asked by somebody without the cookie."""
    return httpx.get(pages.origin + path, trust_env=False, **more)


def raw(pages, head: str) -> bytes:
    """A request exactly as written."""
    port = int(pages.origin.rpartition(":")[2])
    with socket.create_connection(("127.0.0.1", port), 30) as line:
        line.sendall(head.encode())
        answer = b""
        while piece := line.recv(65536):
            answer += piece
    return answer


def test_the_visitor_with_the_token_sees_the_packet(pages):
    shown = pages.visitor.get(pages.packet)
    assert shown.status_code == 200
    assert "Leander Pell" in shown.text
    assert shown.headers["cache-control"] == "no-store"
    assert "default-src 'none'" in shown.headers["content-security-policy"]
    assert "unsafe" not in shown.headers["content-security-policy"]


def test_the_used_token_opens_nothing_more(pages):
    again = httpx.get(pages.address, trust_env=False)
    assert again.status_code == 403
    assert "set-cookie" not in again.headers


@pytest.mark.parametrize(
    "path", ["", "works", "paper.css", "packet", "work", "left-out", "wrong", "%2e%2e/"]
)
def test_without_token_nothing_is_told(pages, path):
    beginnings = ("/", pages.visitor.room, f"{pages.visitor.room}{pages.packet}")
    for beginning in beginnings:
        answer = plain(pages, beginning + path)
        assert answer.status_code == 403
        assert "Pell" not in answer.text


POSTS = ("release", "hold", "left-out", "page/8/correct", "../build", "../../end")


@pytest.mark.parametrize("name", POSTS)
@pytest.mark.parametrize(
    "heads",
    [
        {"origin": "http://evil.example"},
        {"origin": "null"},
        {"sec-fetch-site": "cross-site"},
        {"host": "packets.example"},
        {"cookie": "packets-page=guess"},
    ],
)
def test_no_decision_is_taken_from_another_site_or_without_the_cookie(pages, name, heads):
    path = {"../build": f"{pages.client}/build", "../../end": "end"}.get(
        name, f"{pages.packet}{name}"
    )
    assert pages.visitor.post(path, {}, heads).status_code == 403


@pytest.mark.parametrize("name", POSTS)
def test_a_get_decides_nothing(pages, name):
    path = {"../build": f"{pages.client}/build", "../../end": "end"}.get(
        name, f"{pages.packet}{name}"
    )
    answer = pages.visitor.get(path)
    assert answer.status_code in (404, 405) or name == "left-out"


def test_a_foreign_host_is_refused_with_the_cookie_too(pages):
    assert pages.visitor.get(headers={"host": "packets.example"}).status_code == 403


@pytest.mark.parametrize(
    "path",
    [
        "../",
        "..%2f..%2f/",
        "%2e%2e/%2e%2e/etc/passwd",
        "pell/",
        "{client}/../../etc/",
        "{client}/%2e%2e%2f%2e%2e/",
        "{packet}source/..%2f..%2fengagement.toml/1/",
        "{packet}source/documents%2fletter.pdf/1/",
        "{packet}source/engagement.toml/1/",
        "{packet}packet/..%2fx/1.png",
        "{packet}packet/{key}/0.png",
        "{packet}packet/{key}/12.png",
        "{packet}packet/{key}/99999999999999999999.png",
        "{packet}page/1/",
        "{packet}page/0/",
        "{packet}page/12/",
        "{client}/shown/..%2f..%2fkeys/1.png",
        "review.css/",
        "page/packet.html",
        "packet.html",
    ],
)
def test_no_path_leads_to_a_folder_or_file_that_is_not_listed(pages, path):
    text = pages.visitor.get(pages.packet).text
    key = text.split('src="packet/')[1].split("/")[0]
    path = path.format(client=pages.client, packet=pages.packet, key=key)
    host = pages.origin.removeprefix("http://")
    heads = f"Host: {host}\r\nCookie: {pages.visitor.cookie}\r\nConnection: close\r\n\r\n"
    answer = raw(pages, f"GET {pages.visitor.room}{path} HTTP/1.1\r\n{heads}")
    assert answer.split(b" ", 2)[1] in (b"403", b"404")
    assert b"root:" not in answer
    assert b"household" not in answer


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("release", {}, "name"),
        ("release", {"who": "I", "sha256": "0" * 64, "looked": False}, "not ticked"),
        ("release", {"who": "I", "sha256": "0" * 64, "looked": True}, ""),
        ("hold", {"who": "I", "sha256": "0" * 64, "note": ""}, "note is missing"),
        ("hold", {"who": "I", "sha256": "x", "note": "n"}, "did not arrive"),
        ("page/8/correct", {"correction": {"kind": "erase"}}, "did not arrive"),
        ("page/8/correct", {"correction": [1]}, "did not arrive"),
    ],
)
def test_what_is_no_answer_of_the_page_is_told_and_decides_nothing(pages, name, content, words):
    answer = pages.visitor.post(f"{pages.packet}{name}", content)
    assert answer.status_code == 409
    assert words in answer.json()["what"]
    assert answer.json()["remedy"]


@pytest.mark.parametrize(
    "more",
    [
        {"kind": "hide", "box": [10, 10, 10, 10], "why": "w"},
        {"kind": "hide", "box": [-1, 0, 5, 5], "why": "w"},
        {"kind": "hide", "box": [0, 0, float("1e9"), 5], "why": "w"},
        {"kind": "hide", "box": [700, 0, 800, 5], "why": "w"},
        {"kind": "hide", "box": [1, 2, 30, 50], "why": " "},
        {"kind": "category", "pages": "1", "category": "No Such"},
        {"kind": "category", "pages": "../1", "category": "letter"},
        {"kind": "leave-out", "pages": "3", "why": "w"},
        {"kind": "not-a-number", "mark": 99, "sha256": "0" * 64, "why": "w"},
    ],
)
def test_a_correction_that_fits_no_page_is_told_and_not_written(pages, client, more):
    before = (client / "engagement.toml").read_bytes()
    text = pages.visitor.get(f"{pages.packet}page/8/").text
    engagement = text.split('data-engagement="')[1].split('"')[0]
    facts = {"who": "I", "engagement": engagement, **more}
    answer = pages.visitor.post(f"{pages.packet}page/8/correct", {"correction": facts})
    assert answer.status_code == 409
    assert answer.json()["remedy"]
    assert (client / "engagement.toml").read_bytes() == before


def test_a_recipe_that_the_page_does_not_offer_is_not_built(pages):
    for recipe in ("client-copy", "/etc/passwd", "../our.toml", "p" * 16):
        assert pages.visitor.post(f"{pages.client}/build", {"recipe": recipe}).status_code == 422


def test_an_answer_that_is_too_large_is_refused(pages):
    answer = pages.visitor.post(f"{pages.packet}hold", {"note": "x" * 1_100_000})
    assert answer.status_code == 413

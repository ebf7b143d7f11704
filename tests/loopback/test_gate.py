"""Bodies are bounded, and every answer bears the same heads."""

import asyncio

import pytest
from heads import HOST, JSON, ORIGIN, OWN, PORT, entered

from packets.loopback.admission import Admission
from packets.loopback.gate import HEADS, Gate
from packets.loopback.presence import Presence


class Inner:
    """A page that says what it was given, with a head that it may not set."""

    def __init__(self):
        self.bodies = []

    async def __call__(self, scope, receive, send):
        self.bodies.append((await receive())["body"])
        loose = [(b"Cache-Control", b"public"), (b"content-type", b"text/plain")]
        await send({"type": "http.response.start", "status": 200, "headers": loose})
        await send({"type": "http.response.body", "body": scope["root_path"].encode()})


class Asked:
    """One gate with a browser inside, asked without a network."""

    def __init__(self, body_seconds=60.0):
        self.inner, self.admission = Inner(), Admission(PORT)
        self.now = 0.0
        self.presence = Presence(60, lambda: self.now)
        self.gate = Gate(self.inner, self.admission, self.presence, 100, body_seconds)
        self.room, self.cookie = entered(self.admission)

    def ask(self, pieces=(b"",), headers=None, method="POST", path="signature", after=None):
        heads = headers if headers is not None else (HOST, self.cookie, ORIGIN, JSON, *OWN)
        messages = [
            {"type": "http.request", "body": piece, "more_body": at < len(pieces) - 1}
            for at, piece in enumerate(pieces)
        ]
        if after is not None:
            messages = [{**message, "more_body": True} for message in messages] + [after]
        sent = []

        async def receive():
            return messages.pop(0) if messages else await asyncio.sleep(3600)

        async def send(message):
            sent.append(message)

        scope = {
            "type": "http",
            "method": method,
            "path": self.room + path,
            "headers": [(name.encode(), value.encode("latin-1")) for name, value in heads],
        }
        asyncio.run(self.gate(scope, receive, send))
        return sent[0]["status"], dict(sent[0]["headers"]), sent[1]["body"]


@pytest.fixture
def asked():
    return Asked()


def test_every_answer_bears_the_heads_whatever_the_page_says(asked):
    for answer in (asked.ask(), asked.ask(headers=()), asked.ask(pieces=(b"x" * 101,))):
        for name, value in HEADS:
            assert answer[1][name] == value
        assert b"Cache-Control" not in answer[1]


def test_the_policy_lets_nothing_come_from_outside_and_no_script_stand_in_the_page():
    policy = dict(HEADS)[b"content-security-policy"].decode()
    rules = dict(rule.strip().split(" ", 1) for rule in policy.split(";"))
    assert rules["default-src"] == "'none'"
    assert {rules[name] for name in ("frame-ancestors", "form-action", "base-uri")} == {"'none'"}
    assert "unsafe" not in policy
    assert "http" not in policy


def test_a_body_in_pieces_arrives_whole_and_no_larger_than_allowed(asked):
    assert asked.ask(pieces=(b"a" * 60, b"b" * 40))[0] == 200
    assert asked.inner.bodies == [b"a" * 60 + b"b" * 40]
    assert asked.ask(pieces=(b"a" * 60, b"b" * 41))[0] == 413
    assert len(asked.inner.bodies) == 1


def test_a_browser_that_leaves_in_the_middle_of_a_body_is_not_heard(asked):
    assert asked.ask(pieces=(b"half",), after={"type": "http.disconnect"})[0] == 408
    assert asked.inner.bodies == []


def test_a_body_that_does_not_end_is_given_up():
    asked = Asked(body_seconds=0.01)
    unended = {"type": "http.request", "more_body": True}
    assert asked.ask(pieces=(b"half",), after=unended)[0] == 408
    assert asked.inner.bodies == []


def test_who_is_refused_does_not_keep_the_page_open(asked):
    asked.now = 59.0
    asked.ask(headers=(HOST,))
    asked.now = 60.0
    assert asked.presence.gone()


def test_who_is_admitted_keeps_the_page_open(asked):
    asked.now = 59.0
    asked.ask()
    asked.now = 118.0
    assert not asked.presence.gone()


def test_a_socket_that_is_no_page_is_not_answered(asked):
    async def never():
        raise AssertionError

    asyncio.run(asked.gate({"type": "websocket"}, never, never))
    assert asked.inner.bodies == []


class Failing:
    """A page that fails before or after it has begun to answer."""

    def __init__(self, begins):
        self.begins = begins

    async def __call__(self, scope, receive, send):
        if self.begins:
            await send({"type": "http.response.start", "status": 200, "headers": []})
            await send({"type": "http.response.body", "body": b"half", "more_body": True})
        raise ValueError("987-65-4321 was in the way")


@pytest.mark.parametrize(("begins", "status"), [(False, 500), (True, 200)])
def test_a_page_that_fails_tells_nothing_of_what_it_failed_on(begins, status):
    asked = Asked()
    asked.gate = Gate(Failing(begins), asked.admission, asked.presence)
    told, _, body = asked.ask()
    assert told == status
    assert b"987" not in body

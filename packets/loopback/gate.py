"""Around a page: requests are judged, bodies bounded, answers sent with the same heads."""

import asyncio
from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any

from packets.loopback.admission import Admission, Enters, Refused, head_of
from packets.loopback.presence import Presence

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

MOST_BODY = 1024 * 1024
"""Bytes of an answer: more than the longest signature needs."""
BODY_SECONDS = 20.0
"""In which a body must have come."""
TOO_LARGE = Refused(413, "This answer is too large.")
TOO_SLOW = Refused(408, "This answer did not come in time.")
FAULT = Refused(500, "Our own fault: this could not be answered. Nothing was done by it.")
HEADS = (
    (
        b"content-security-policy",
        b"default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; "
        b"connect-src 'self'; form-action 'none'; frame-ancestors 'none'; base-uri 'none'",
    ),
    (b"cache-control", b"no-store"),
    (b"x-content-type-options", b"nosniff"),
    (b"x-frame-options", b"DENY"),
    (b"referrer-policy", b"same-origin"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"permissions-policy", b"camera=(), microphone=(), geolocation=(), clipboard-read=()"),
)
"""Nothing from outside, nothing kept: Content Security Policy Level 3, RFC 9111, Fetch."""


class Gate:
    """An ASGI application that lets requests through to `app` one browser long."""

    def __init__(
        self,
        app: App,
        admission: Admission,
        presence: Presence,
        most_body: int = MOST_BODY,
        body_seconds: float = BODY_SECONDS,
    ) -> None:
        self._app = app
        self._admission = admission
        self._presence = presence
        self._most_body = most_body
        self._body_seconds = body_seconds

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            return
        guarded = _with_heads(send)
        answer = self._admission.judge(head_of(scope["method"], scope["path"], scope["headers"]))
        match answer:
            case Refused():
                await _refuse(answer, guarded)
            case Enters():
                self._presence.seen()
                heads = [
                    (b"location", answer.room.encode()),
                    (b"set-cookie", answer.cookie.encode()),
                ]
                await _send(303, heads, b"", guarded)
            case _:
                self._presence.seen()
                body = await self._body(receive)
                if isinstance(body, Refused):
                    await _refuse(body, guarded)
                    return
                inside = {**scope, "root_path": answer.room}
                await self._answered(inside, _replayed(body, receive), guarded)

    async def _answered(self, scope: Scope, receive: Receive, send: Send) -> None:
        """The page's own answer; where it fails, that and nothing of what it failed on."""
        begun = False

        async def sent(message: Message) -> None:
            nonlocal begun
            begun = True
            await send(message)

        try:
            await self._app(scope, receive, sent)
        except Exception:
            # Its words and its trace may hold what nobody should read in a terminal.
            if not begun:
                await _refuse(FAULT, send)

    async def _body(self, receive: Receive) -> bytes | Refused:
        """The whole body, or why it is not taken."""
        try:
            async with asyncio.timeout(self._body_seconds):
                return await self._read(receive)
        except TimeoutError:
            return TOO_SLOW

    async def _read(self, receive: Receive) -> bytes | Refused:
        body = bytearray()
        while True:
            message = await receive()
            if message["type"] != "http.request":
                return TOO_SLOW  # the browser has gone
            body += message.get("body", b"")
            if len(body) > self._most_body:
                return TOO_LARGE
            if not message.get("more_body"):
                return bytes(body)


def _replayed(body: bytes, receive: Receive) -> Receive:
    """A body that was read already, handed on in one piece."""
    left = [body]

    async def again() -> Message:
        if left:
            return {"type": "http.request", "body": left.pop(), "more_body": False}
        return await receive()

    return again


def _with_heads(send: Send) -> Send:
    """The same, with our heads on every answer, whatever the page says about them."""
    ours = {name for name, _ in HEADS}

    async def sent(message: Message) -> None:
        if message["type"] == "http.response.start":
            kept = [pair for pair in message.get("headers", []) if pair[0].lower() not in ours]
            message = {**message, "headers": [*kept, *HEADS]}
        await send(message)

    return sent


async def _refuse(refused: Refused, send: Send) -> None:
    # Whatever was not read of the request must not be taken for another one.
    heads = [(b"content-type", b"text/plain; charset=utf-8"), (b"connection", b"close")]
    await _send(refused.status, heads, refused.words.encode(), send)


async def _send(status: int, heads: list[tuple[bytes, bytes]], body: bytes, send: Send) -> None:
    length = (b"content-length", str(len(body)).encode())
    await send({"type": "http.response.start", "status": status, "headers": [*heads, length]})
    await send({"type": "http.response.body", "body": body})

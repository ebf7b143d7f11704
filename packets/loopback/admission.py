"""Who may see a page of ours: the one browser that was given the address, and nobody else.

A request is judged by its head alone, before anything of it is read. What is
refused, and why: another Host (a foreign name that was made to point here), a
request that another site caused (Sec-Fetch-Site, Origin), one without the cookie.
The address holds a token that opens once; it gives a cookie that scripts cannot
read (HttpOnly) and that other sites cannot send (SameSite=Strict). Browsers hand a
cookie to every port of a host, so its path is a room whose name nobody can guess.
"""

import hmac
import secrets
import threading
from collections.abc import Iterable
from dataclasses import dataclass, field

COOKIE = "packets-page"
PREFETCH = ("sec-purpose", "purpose")
"""Heads by which a browser says that it only looks ahead: that must not use the token up."""


@dataclass(frozen=True)
class Head:
    """What a request says before its body."""

    method: str
    path: str
    headers: tuple[tuple[str, str], ...] = field(repr=False)
    """Names in small letters, as many times as they were sent."""

    def all(self, name: str) -> list[str]:
        """Every value of a header."""
        return [value for key, value in self.headers if key == name]

    def one(self, name: str) -> str:
        """The value of a header; empty where it is missing or was sent twice."""
        values = self.all(name)
        return values[0] if len(values) == 1 else ""


@dataclass(frozen=True)
class Refused:
    """The request goes no further."""

    status: int
    words: str


@dataclass(frozen=True)
class Enters:
    """The token was right: hand out the cookie and lead into the room."""

    room: str
    cookie: str = field(repr=False)


@dataclass(frozen=True)
class Admitted:
    """The request may go on to the page."""

    room: str


NOT_HERE = Refused(403, "This page is not open to you. Use the address that the command printed.")
USED = Refused(
    403,
    "This address was used before. It opens once; go on in the window where it was opened, "
    "or start the command again.",
)
ELSEWHERE = Refused(403, "This page answers to its own address alone.")
FROM_OUTSIDE = Refused(403, "Another page asked for this one, and that is not allowed.")
WRONG_METHOD = Refused(405, "This page can be read and answered, nothing else.")
NOT_JSON = Refused(415, "An answer to this page is JSON.")


class Admission:
    """The door of one page. Safe to ask from several threads."""

    def __init__(self, port: int) -> None:
        self._host = f"127.0.0.1:{port}"
        self._token = secrets.token_urlsafe(24)
        self._cookie = secrets.token_urlsafe(32)
        self._room = f"/{secrets.token_urlsafe(12)}"
        self._used = False
        self._lock = threading.Lock()

    @property
    def address(self) -> str:
        """The address to open, with the token that opens once."""
        return f"http://{self._host}/{self._token}"

    def judge(self, head: Head) -> Refused | Enters | Admitted:
        """Whether a request may go on, enters, or is refused."""
        refused = self._outside(head)
        if refused is not None:
            return refused
        if _same(head.path, f"/{self._token}"):
            return self._entering(head)
        if not self._has_cookie(head) or not head.path.startswith(f"{self._room}/"):
            return NOT_HERE
        return Admitted(self._room)

    def _outside(self, head: Head) -> Refused | None:
        """What is refused whoever asks."""
        if head.one("host") != self._host:
            return ELSEWHERE
        if head.method not in ("GET", "POST"):
            return WRONG_METHOD
        if not _caused_here(head):
            return FROM_OUTSIDE
        if head.method == "POST":
            if head.one("origin") != f"http://{self._host}":
                return FROM_OUTSIDE
            if head.one("content-type").partition(";")[0].strip().lower() != "application/json":
                return NOT_JSON
        return None

    def _entering(self, head: Head) -> Refused | Enters:
        if head.method != "GET" or any(head.all(name) for name in PREFETCH):
            return NOT_HERE
        with self._lock:
            if self._used:
                return USED
            self._used = True
        room = f"{self._room}/"
        return Enters(
            room, f"{COOKIE}={self._cookie}; Path={room}; HttpOnly; SameSite=Strict; Max-Age=86400"
        )

    def _has_cookie(self, head: Head) -> bool:
        pairs = (pair.strip() for line in head.all("cookie") for pair in line.split(";"))
        return any(_same(pair, f"{COOKIE}={self._cookie}") for pair in pairs)


def _caused_here(head: Head) -> bool:
    """Whether a person's own step or our own page caused the request (W3C Fetch Metadata).

    A browser that does not say so is judged by its cookie and Origin alone.
    """
    site = head.one("sec-fetch-site") if head.all("sec-fetch-site") else "same-origin"
    navigates = head.one("sec-fetch-mode") == "navigate"
    if navigates and head.one("sec-fetch-dest") not in ("", "document"):
        return False
    return site == "same-origin" or (site == "none" and head.method == "GET")


def _same(given: str, wanted: str) -> bool:
    """Equal, in a time that does not tell where they part."""
    return hmac.compare_digest(given.encode(), wanted.encode())


def head_of(method: str, path: str, headers: Iterable[tuple[bytes, bytes]]) -> Head:
    """The head of an ASGI request (ASGI 3.0: header names come in small letters)."""
    pairs = tuple((name.decode("latin-1"), value.decode("latin-1")) for name, value in headers)
    return Head(method, path, pairs)

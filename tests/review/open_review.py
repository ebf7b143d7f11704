"""Review pages, open in a thread of their own, and a browser without a window for them."""

import queue
import threading
from pathlib import Path

import httpx

from packets.base.errors import PacketsError
from packets.review.records import ReviewRequest
from packets.review.review import review

WAIT = 60


class OpenReview:
    """Runs `review` beside the test; `address` is known when the pages are there."""

    def __init__(self, place: Path, minutes: int = 5, recipe: str = "") -> None:
        self._addresses: queue.Queue[str | None] = queue.Queue()
        self.error: PacketsError | None = None
        self.ending = ""
        request = ReviewRequest(place, recipe, minutes)
        self._thread = threading.Thread(target=self._run, args=(request,), daemon=True)
        self._thread.start()
        address = self._addresses.get(timeout=WAIT)
        if address is None:
            self._thread.join()
            raise self.error
        self.address = address
        self.origin = address.rpartition("/")[0]

    def _run(self, request) -> None:
        try:
            self.ending = review(request, self._addresses.put)
        except PacketsError as error:
            self.error = error
        finally:
            self._addresses.put(None)

    def end(self) -> str:
        """Wait for the end; why the pages ended."""
        self._thread.join(WAIT)
        assert not self._thread.is_alive()
        return self.ending


class Visitor:
    """A browser without a window: it keeps its cookie and says where it comes from."""

    def __init__(self, pages: OpenReview) -> None:
        self.origin = pages.origin
        entry = httpx.get(pages.address, timeout=WAIT, trust_env=False)
        self.room = entry.headers["location"]
        self.cookie = entry.headers["set-cookie"].partition(";")[0]

    def get(self, name: str = "", headers=()) -> httpx.Response:
        return self._ask("GET", name, {"cookie": self.cookie, **dict(headers)})

    def post(self, name: str, content, headers=()) -> httpx.Response:
        own = {"origin": self.origin, "sec-fetch-site": "same-origin", "cookie": self.cookie}
        return self._ask("POST", name, {**own, **dict(headers)}, json=content)

    def packet(self) -> str:
        """The address, below the room, of the packet to which the front page leads."""
        first = self.get()
        name = first.headers["location"]
        return name + self.get(name).headers["location"]

    def leave(self) -> None:
        """End the pages."""
        self.post("end", {})

    def _ask(self, method: str, name: str, headers: dict, **more) -> httpx.Response:
        url = f"{self.origin}{self.room}{name}"
        return httpx.request(method, url, headers=headers, timeout=WAIT, trust_env=False, **more)

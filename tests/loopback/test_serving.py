"""A page is served to this machine alone, and ends when it should."""

import socket
import threading

import httpx
import pytest

from packets.loopback.presence import Presence
from packets.loopback.serving import Serving, free_port


async def hello(scope, receive, send):
    await send({"type": "http.response.start", "status": 200, "headers": []})
    await send({"type": "http.response.body", "body": scope["path"].encode()})


class Served:
    """A page in a thread; the test moves its clock."""

    def __init__(self, listener):
        self.now, self.ending = 0.0, ""
        self.serving = Serving(Presence(60, lambda: self.now))
        self._thread = threading.Thread(target=self._run, args=(listener,))
        self._thread.start()

    def _run(self, listener):
        self.ending = self.serving.run(hello, listener)

    def ends(self):
        self._thread.join(60)
        assert not self._thread.is_alive()
        return self.ending


@pytest.fixture
def here():
    with free_port() as (listener, port):
        yield listener, port


def test_it_listens_on_the_loopback_address_alone(here):
    listener, port = here
    assert listener.getsockname() == ("127.0.0.1", port)
    served = Served(listener)
    answer = httpx.get(f"http://127.0.0.1:{port}/x", trust_env=False)
    assert (answer.status_code, answer.text) == (200, "/x")
    assert "server" not in answer.headers
    served.serving.stop()
    assert served.ends() == "done"


def test_it_ends_when_nobody_was_there_for_the_stated_time(here):
    listener, port = here
    served = Served(listener)
    assert httpx.get(f"http://127.0.0.1:{port}/", trust_env=False).status_code == 200
    served.now = 60.0
    assert served.ends() == "idle"


def test_after_its_end_the_port_is_closed():
    with free_port() as (listener, port):
        served = Served(listener)
        served.serving.stop()
        served.ends()
    with socket.socket() as probe:
        assert probe.connect_ex(("127.0.0.1", port)) != 0

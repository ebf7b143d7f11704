"""One page on a free port of 127.0.0.1, for as long as it is needed and somebody is there."""

import asyncio
import contextlib
import socket
import threading
from collections.abc import Iterator
from typing import Literal

import uvicorn

from packets.base.errors import InputRefused
from packets.loopback.gate import App
from packets.loopback.presence import Presence

LOOPBACK = "127.0.0.1"
LOOK_EVERY = 0.2
"""Seconds between two looks at whether somebody is still there."""
LAST_ANSWERS = 10
"""Seconds that a request in hand gets when the page ends."""

Ending = Literal["done", "idle"]


@contextlib.contextmanager
def free_port() -> Iterator[tuple[socket.socket, int]]:
    """A listening socket on a free port that only this machine reaches, and its port."""
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        try:
            listener.bind((LOOPBACK, 0))
            listener.listen(32)
        except OSError as problem:
            raise InputRefused(
                "this machine gives no port for the page",
                where=LOOPBACK,
                remedy="Look whether the loopback interface is up, then run the command again.",
            ) from problem
        yield listener, listener.getsockname()[1]
    finally:
        listener.close()


class Serving:
    """The server of one page. It ends by `stop`, by silence, or by the interrupt key."""

    def __init__(self, presence: Presence) -> None:
        self._presence = presence
        self._stopped = threading.Event()

    def stop(self) -> None:
        """End after the answers that are under way. May be called from any thread."""
        self._stopped.set()

    def run(self, app: App, listener: socket.socket) -> Ending:
        """Serve until the end; say why it ended. KeyboardInterrupt goes on to the caller."""
        asyncio.run(self._run(uvicorn.Server(_settings(app)), listener))
        return "done" if self._stopped.is_set() else "idle"

    async def _run(self, server: uvicorn.Server, listener: socket.socket) -> None:
        watch = asyncio.create_task(self._watch(server))
        try:
            await server.serve(sockets=[listener])
        finally:
            watch.cancel()

    async def _watch(self, server: uvicorn.Server) -> None:
        while not self._stopped.is_set() and not self._presence.gone():
            await asyncio.sleep(LOOK_EVERY)
        server.should_exit = True


def _settings(app: App) -> uvicorn.Config:
    return uvicorn.Config(
        app,
        access_log=False,  # an address holds the token
        date_header=False,
        http="h11",
        interface="asgi3",
        lifespan="off",
        limit_concurrency=64,
        log_config=None,
        loop="asyncio",
        proxy_headers=False,
        server_header=False,
        timeout_graceful_shutdown=LAST_ANSWERS,
        timeout_keep_alive=5,
        ws="none",
    )

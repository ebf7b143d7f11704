"""The whole life of one worker: a fresh interpreter that does one job after another.

    python -m packets.batch.worker_process DESCRIPTOR

Jobs and results go through the socket of that descriptor, which only this process and
the one that started it hold. Standard input is a pipe on which nothing is ever
written: when it ends, the other process is gone, and this one ends at once. So no
worker goes on unseen after a batch was killed; what it had begun is put in order by
the next build of that client, as after any crash.
"""

import contextlib
import importlib
import os
import pickle
import signal
import sys
import threading
from collections.abc import Callable
from multiprocessing.connection import Connection
from pathlib import Path

from packets.base.errors import OurFault, PacketsError
from packets.base.loading import loading
from packets.base.one_process import in_one_process

READY = b"ready"
_KILL_ME_FIRST = "500"
"""When memory runs out, Linux ends a worker rather than the batch."""


def main(descriptor: int) -> None:
    """Say that we are ready, then answer jobs until there are no more."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the one who hands out the jobs
    threading.Thread(target=_end_with_the_other, daemon=True).start()
    with contextlib.suppress(OSError):
        Path("/proc/self/oom_score_adj").write_text(_KILL_ME_FIRST, encoding="ascii")
    with Connection(descriptor) as pipe, contextlib.suppress(EOFError, OSError):
        paths, warm = pipe.recv()
        sys.path[:] = paths
        with loading():
            importlib.import_module(warm)
        pipe.send_bytes(READY)
        with in_one_process():
            while True:
                pipe.send_bytes(_answer(pipe.recv_bytes()))


def _end_with_the_other() -> None:
    """Block until standard input ends. Past the buffer: the end of this process takes no lock."""
    with contextlib.suppress(OSError):
        while os.read(0, 1):
            pass
    os._exit(1)


def _answer(order: bytes) -> bytes:
    """The result, or the error in its place."""
    try:
        work: Callable[..., object]
        # Our own parent wrote it, into a socket without a name.
        work, arguments, named = pickle.loads(order)  # noqa: S301
        return pickle.dumps((True, work(*arguments, **named)))
    except Exception as error:
        return _told(error)


def _told(error: Exception) -> bytes:
    """Our own errors travel as they are; others by kind, for their words may hold anything."""
    if isinstance(error, PacketsError):
        with contextlib.suppress(Exception):
            return pickle.dumps((False, error))
    return pickle.dumps((False, OurFault(f"a job ended in an error ({type(error).__name__})")))


if __name__ == "__main__":
    main(int(sys.argv[1]))

"""A real scheduler with real workers, each in a process of its own."""

import contextlib
import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

QUIET = {
    "DASK_DISTRIBUTED__SCHEDULER__ALLOWED_FAILURES": "3",
    "DASK_DISTRIBUTED__ADMIN__TICK__LIMIT": "60s",
    "DASK_DISTRIBUTED__VERSION": "2",
}


@dataclass
class Cluster:
    address: str
    workers: list[subprocess.Popen]

    def kill(self, number: int) -> None:
        """A machine that is gone: the worker dies without a word."""
        self.workers[number].send_signal(signal.SIGKILL)


@contextlib.contextmanager
def cluster(folder: Path, workers: int = 2) -> Iterator[Cluster]:
    folder.mkdir()
    with contextlib.ExitStack() as stack:
        log = stack.enter_context((folder / "log").open("wb"))
        file = folder / "scheduler.json"
        _started(
            stack, log, folder, "scheduler", "--host", "127.0.0.1", "--port", "0",
            "--no-dashboard", "--no-show", "--scheduler-file", str(file),
        )  # fmt: skip
        crew = [
            _started(
                stack, log, folder, "worker", "--scheduler-file", str(file), "--nthreads", "1",
                "--no-nanny", "--no-dashboard", "--host", "127.0.0.1",
                "--death-timeout", "60", "--local-directory", str(folder),
            )
            for _ in range(workers)
        ]  # fmt: skip
        yield Cluster(_address(file), crew)


def _started(
    stack: contextlib.ExitStack, log: object, folder: Path, what: str, *more: str
) -> subprocess.Popen:
    path = os.pathsep.join([str(Path(__file__).parent), *filter(None, sys.path)])
    process = subprocess.Popen(
        [sys.executable, "-m", "dask", what, *more],
        env={**os.environ, **QUIET, "PYTHONPATH": path},
        stdout=log,
        stderr=log,
        cwd=folder,
    )
    stack.callback(process.wait)
    stack.callback(process.kill)
    return process


def _address(file: Path) -> str:
    for _ in range(1200):
        if file.exists() and (found := re.search(r'"address": "([^"]+)"', file.read_text())):
            return found.group(1)
        time.sleep(0.05)
    raise AssertionError("no scheduler within a minute")

"""Run `packets` and end it in a chosen way when a chosen station is reached.

    python stopped_at_station.py WAY STATION COMMAND...

WAY: `kill` (SIGKILL), `interrupt` (SIGINT, as Ctrl-C sends it), `fail` (an error of
our own whose message holds what the environment calls SECRETS), `listen` (names each
station on standard error and lets the run end). STATION: a station's name, or
`sync N` for the N-th time that the run waits for the disk.
"""

import os
import signal
import sys

from packets.base.progress import Step
from packets.cli.entry import run
from packets.cli.surroundings import Surroundings


class _Stopper:
    def __init__(self, way: str, station: str) -> None:
        self.way, self.station = way, station
        self.syncs = 0
        self.stopped = False
        self.sync = os.fsync

    def step(self, step: Step) -> None:
        if self.way == "listen":
            sys.stderr.write(f"{step.station}\n")
        elif step.station == self.station:
            self.stop()

    def fsync(self, descriptor: int) -> None:
        self.syncs += 1
        if self.station == f"sync {self.syncs}":
            self.stop()
        self.sync(descriptor)

    def stop(self) -> None:
        if self.stopped:
            return
        self.stopped = True
        if self.way == "kill":
            os.kill(os.getpid(), signal.SIGKILL)
        elif self.way == "interrupt":
            signal.raise_signal(signal.SIGINT)
        else:
            raise RuntimeError(os.environ["SECRETS"])


if __name__ == "__main__":
    stopper = _Stopper(sys.argv[1], sys.argv[2])
    os.fsync = stopper.fsync
    sys.exit(run(sys.argv[3:], Surroundings(progress=stopper.step)))

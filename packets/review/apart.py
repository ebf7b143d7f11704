"""Long work in a process of its own: the pages stay quick, and a crash there is told here.

PDFium and MuPDF serve one thread at a time, and the check copies its process to work
alongside; neither goes with a server of many threads. So whatever builds, masks or
checks runs in a fresh process, which sends its steps and its result through a pipe.
No secret is sent: a passphrase that was made lies in keys/, where the pages read it.
"""

import multiprocessing
import signal
import threading
from collections.abc import Callable
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import Any, TypeVar

from packets.base.errors import Held, OurFault, PacketsError
from packets.base.progress import Progress, Step

T = TypeVar("T")
Work = Callable[..., Any]
"""A function of a module, with plain arguments and `progress` as the last."""


class Apart:
    """One piece of work under way. `end` may be called from any thread."""

    def __init__(self, work: Work, *given: object) -> None:
        fresh = multiprocessing.get_context("spawn")
        self._hears, tells = fresh.Pipe(duplex=False)
        self._process: BaseProcess = fresh.Process(
            target=_at_work, args=(tells, work, given), daemon=True
        )
        self._process.start()
        tells.close()
        self._ended = threading.Event()

    def result(self, hear: Progress) -> Any:
        """Wait for the result, hearing its steps. Raises what the work raises, Held if ended."""
        try:
            while True:
                kind, value = self._hears.recv()
                if kind == "step":
                    hear(value)
                elif kind == "error":
                    raise value
                else:
                    return value
        except (EOFError, OSError):
            if self._ended.is_set():
                raise Held("this was ended before it was done", remedy=REMEDY) from None
            raise OurFault("the work ended without a word", remedy=REMEDY) from None
        finally:
            self._hears.close()
            self._process.join()

    def end(self) -> None:
        """Ask the process to end; what it writes is whole or not there at any moment."""
        self._ended.set()
        self._process.terminate()


REMEDY = "Nothing went out. Build again."


def _at_work(tells: Connection, work: Work, given: tuple[object, ...]) -> None:
    """The whole life of the process."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the interrupt key is the server's to hear

    def progress(step: Step) -> None:
        tells.send(("step", step))

    try:
        tells.send(("done", work(*given, progress)))
    except PacketsError as error:
        tells.send(("error", error))
    except Exception as problem:  # by its kind alone: its words may hold a number
        kind = type(problem).__name__
        tells.send(("error", OurFault(f"the work could not be done ({kind})")))

"""Jobs for workers: what goes well, and all that can go wrong in a process."""

import os
import signal
import time
from pathlib import Path
from typing import NoReturn

from packets.base.alongside import alongside
from packets.base.errors import Damaged

WARM = "batch_jobs"


def twice(number: int) -> int:
    return 2 * number


def process(_: object = None) -> int:
    return os.getpid()


def process_of_work_alongside() -> tuple[int, int]:
    with alongside(os.getpid) as under_way:
        return os.getpid(), under_way.result()


def die(_: object = None) -> NoReturn:
    os.kill(os.getpid(), signal.SIGKILL)
    raise AssertionError("unreachable")


def leave() -> NoReturn:
    os._exit(7)


def hang(_: object = None) -> None:
    time.sleep(600)


def tell_and_hang(note: Path) -> None:
    note.write_text(str(os.getpid()), encoding="ascii")
    time.sleep(600)


def refuse() -> NoReturn:
    raise Damaged("the file is broken", where="documents/a.pdf", remedy="Scan it again.")


class Tongue(Exception):
    """An error that cannot travel: it is not made from its arguments."""

    def __init__(self, secret: str, more: str) -> None:
        super().__init__(secret)
        self.more = more


def blurt() -> NoReturn:
    raise Tongue("666-12-3456", "more")


def unsendable() -> object:
    return lambda: None


def arguments() -> str:
    return os.environ["OMP_THREAD_LIMIT"]

"""Work for a process at hand, found by its name."""

import os
import signal

from packets.base.errors import Damaged
from packets.base.progress import Step


def ready(work):
    """What makes the work ready: here there is nothing to do for it."""
    return lambda: work


@ready
def process_and_order(order, progress):
    return os.getpid(), order


@ready
def three_steps(order, progress):
    for done in range(3):
        progress(Step("working", "", done, 3))
    return order


@ready
def refused(order, progress):
    raise Damaged("the file is broken", where=order, remedy="Scan it again.")


@ready
def fault(order, progress):
    return 1 // order


@ready
def killed_where_it_waits(order, progress):
    if os.getpid() != order:
        os.kill(os.getpid(), signal.SIGKILL)
    return "done here"


@ready
def not_to_be_sent(order, progress):
    return lambda: order

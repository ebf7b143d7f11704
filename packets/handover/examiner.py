"""Who examines a finished packet: a process of its own, which has never made one.

The check shares no code for documents with what masks them, and so it can be loaded in
a process apart while the other makes the packet. That process knows of the packet what
it is told in the end.
"""

import contextlib
from collections.abc import Iterator
from functools import partial
from typing import cast

from packets.base.at_hand import AtHand, WorkPlace, at_hand
from packets.base.progress import Progress
from packets.proving.records import Examination, Examine, Examined

_EXAMINER = WorkPlace("packets.proving.examine", "ready_to_examine")


def examined_here(order: Examination, progress: Progress) -> Examined:
    """Examine a packet in this process."""
    from packets.proving.examine import examine  # noqa: PLC0415 - loaded in a process apart, if any

    return examine(order, progress)


@contextlib.contextmanager
def examiner_at_hand() -> Iterator[Examine]:
    """A process that loads the check now and examines packets later."""
    with at_hand(_EXAMINER) as process:
        yield partial(_examined_by, process)


def _examined_by(process: AtHand, order: Examination, progress: Progress) -> Examined:
    return cast(Examined, process.do(order, progress))

"""One signature, once: from the open page to the grant on record, or to the reason why not."""

import datetime as dt
import threading
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from typing import Literal

from packets.base.errors import Held, OurFault, PacketsError
from packets.capture.ink_drawing import draw_signature
from packets.capture.strokes import answer_in
from packets.handover.grant_records import DrawnSignature, RecordedGrant

Phase = Literal["open", "recording", "signed", "declined", "failed"]
Keep = Callable[[DrawnSignature, dt.datetime], RecordedGrant]
"""Puts a drawn signature on record, given at that moment."""


class Over(Exception):
    """The page was answered already."""


class Session:
    """What became of the page. Its recording runs apart and is never cut off in the middle."""

    def __init__(self, keep: Keep) -> None:
        self._keep = keep
        self._lock = threading.Lock()
        self._worker = ThreadPoolExecutor(1)
        self.phase: Phase = "open"
        self.recorded: RecordedGrant | None = None
        self.error: PacketsError | None = None

    def sign(self, body: bytes) -> "Future[RecordedGrant]":
        """Take the strokes and start to record them.

        Raises InputRefused for what is no signature (then the page stays open), Over
        where the page was answered already.
        """
        answer = answer_in(body)
        if not answer.consent:
            raise Held(
                "the box beside the sentence is not ticked",
                where="the page",
                remedy="Read the sentence; tick the box if you mean it.",
            )
        drawn = draw_signature(answer.strokes)
        self._leave_open("recording")
        return self._worker.submit(self._record, drawn, dt.datetime.now().astimezone())

    def decline(self) -> None:
        """The person does not sign. Raises Over where the page was answered already."""
        self._leave_open("declined")

    def close(self) -> None:
        """Wait for a recording that is under way."""
        self._worker.shutdown(wait=True)

    def _leave_open(self, phase: Phase) -> None:
        with self._lock:
            if self.phase != "open":
                raise Over
            self.phase = phase

    def _record(self, drawn: DrawnSignature, at: dt.datetime) -> RecordedGrant:
        try:
            self.recorded = self._keep(drawn, at)
        except PacketsError as error:
            self.error, self.phase = error, "failed"
            raise
        except Exception as error:
            self.phase = "failed"
            kind = type(error).__name__
            self.error = OurFault(f"the signature could not be recorded ({kind})")
            raise self.error from error
        self.phase = "signed"
        return self.recorded

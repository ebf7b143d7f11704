"""Review pages, open in a thread of their own, and a browser without a window for them."""

import queue
import shutil
import threading
from pathlib import Path

from packets.base.errors import PacketsError
from packets.review.records import ReviewRequest
from packets.review.review import review

SAMPLES = Path(__file__).parents[2] / "sample_pdfs"
WAIT = 60
LEFT = ("outbound", "office", "filing", "keys", "to-review", "ledger*", "__pycache__")


def client_folder(into: Path, sample: str = "single-filer") -> Path:
    """A copy of a sample client folder, with nothing built."""
    shutil.copytree(SAMPLES / sample, into, ignore=shutil.ignore_patterns(*LEFT))
    (into / "identifiers.toml").chmod(0o600)
    return into


class OpenReview:
    """Runs `review` beside the test; `address` is known when the pages are there."""

    def __init__(self, place: Path, desk=None, minutes: int = 5, recipe: str = "") -> None:
        self._addresses: queue.Queue[str | None] = queue.Queue()
        self.error: PacketsError | None = None
        self.ending = ""
        request = ReviewRequest(place, recipe, minutes)
        self._thread = threading.Thread(target=self._run, args=(request, desk), daemon=True)
        self._thread.start()
        address = self._addresses.get(timeout=WAIT)
        if address is None:
            self._thread.join()
            raise self.error
        self.address = address
        self.origin = address.rpartition("/")[0]

    def _run(self, request, desk) -> None:
        try:
            self.ending = review(request, self._addresses.put, desk=desk)
        except PacketsError as error:
            self.error = error
        finally:
            self._addresses.put(None)

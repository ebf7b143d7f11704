"""A page to sign on, open in a thread of its own, and what comes of it."""

import queue
import shutil
import threading
from pathlib import Path

import httpx

from packets.base.errors import PacketsError
from packets.capture.capture import capture
from packets.cli.moments import Day
from packets.handover.grant_records import NOT_DRAWN_YET, GrantRequest
from packets.recipe.model import Role
from packets.signatures.grant import Evidence

SAMPLES = Path(__file__).parents[2] / "sample_pdfs"
WAIT = 120


def client_folder(into: Path) -> Path:
    """A copy of the single filer's folder, without grants of its own."""
    folder = into / "client"
    left = shutil.ignore_patterns("outbound", "office", "filing", "keys", "ledger*", "*.toml")
    shutil.copytree(SAMPLES / "single-filer", folder, ignore=left)
    for name in ("engagement.toml", "identifiers.toml"):
        shutil.copy(SAMPLES / "single-filer" / name, folder / name)
    shutil.rmtree(folder / "signatures")
    (folder / "identifiers.toml").chmod(0o600)
    return folder


def request(client: Path, document: str = "documents/form-8879.pdf", **changed) -> GrantRequest:
    facts = {
        "client": client,
        "role": Role.TAXPAYER,
        "image": NOT_DRAWN_YET,
        "how": "on-screen",
        "covers": ("form-8879",),
        "valid_until": Day().convert("2126-12-31", None, None),
        "recorded_by": "front desk",
        "signed": client / document,
        "evidence": Evidence(photo_id_seen=True),
    }
    return GrantRequest(**{**facts, **changed})


class OpenPage:
    """Runs `capture` beside the test; `address` is known when the page is there."""

    def __init__(self, wanted: GrantRequest, idle_minutes: int = 5) -> None:
        self._addresses: queue.Queue[str | None] = queue.Queue()
        self.recorded = None
        self.error: PacketsError | None = None
        self._thread = threading.Thread(target=self._run, args=(wanted, idle_minutes))
        self._thread.start()
        address = self._addresses.get(timeout=WAIT)
        if address is None:
            self._thread.join()
            raise self.error
        self.address = address

    def _run(self, wanted: GrantRequest, idle_minutes: int) -> None:
        try:
            self.recorded = capture(wanted, idle_minutes, self._addresses.put)
        except PacketsError as error:
            self.error = error
        finally:
            self._addresses.put(None)

    def end(self):
        """Wait for the end; the grant, or the error that the command tells."""
        self._thread.join(WAIT)
        assert not self._thread.is_alive()
        return self.recorded if self.error is None else self.error


class Visitor:
    """A browser without a window: it keeps its cookie and says where it comes from."""

    def __init__(self, page: OpenPage) -> None:
        self.origin = page.address.rpartition("/")[0]
        entry = httpx.get(page.address, timeout=WAIT, trust_env=False)
        self.room = entry.headers["location"]
        self.cookie = entry.headers["set-cookie"].partition(";")[0]

    def get(self, name: str = "", headers=()) -> httpx.Response:
        return self._ask("GET", name, {"cookie": self.cookie, **dict(headers)})

    def post(self, name: str, content, headers=()) -> httpx.Response:
        own = {"origin": self.origin, "sec-fetch-site": "same-origin", "cookie": self.cookie}
        return self._ask("POST", name, {**own, **dict(headers)}, json=content)

    def leave(self) -> None:
        """Choose not to sign, so that the page ends."""
        self.post("decline", {})

    def _ask(self, method: str, name: str, headers: dict, **more) -> httpx.Response:
        url = f"{self.origin}{self.room}{name}"
        return httpx.request(method, url, headers=headers, timeout=WAIT, trust_env=False, **more)


def zigzag(points: int = 40) -> list[list[list[float]]]:
    """One stroke across the pad."""
    return [[[60 + 12.0 * i, 90.0 + 110 * (i % 2), 10.0 * i, 0.0] for i in range(points)]]


def signature(points: int = 40, consent: bool = True) -> dict:
    return {"consent": consent, "strokes": zigzag(points)}

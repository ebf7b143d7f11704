"""What commands need from outside themselves, so that a test can hand in its own."""

from __future__ import annotations

import getpass
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

import click

from packets.base.errors import UsageError
from packets.base.loading import loading
from packets.base.progress import Progress, silent

if TYPE_CHECKING:
    import datetime as dt

    from packets.base.secret import Secret
    from packets.batch.records import BatchOrder, BatchReport
    from packets.batch.workforce import Workforce
    from packets.handover.check_request import CheckReport, CheckRequest
    from packets.handover.grant_records import GrantRequest, ListedGrant, RecordedGrant
    from packets.handover.preview_records import PreviewReport, PreviewRequest
    from packets.intake.records import Inventory
    from packets.mailing.passphrases import KeptPassphrase
    from packets.mailing.records import MailOrder, MailServer, PreparedMail, Sent
    from packets.outbound.watching import Judged
    from packets.pipeline_records import BuildReport, BuildRequest, MaskReport
    from packets.proving.records import Examine, FileProof
    from packets.review.records import ReviewRequest
    from packets.sealing.standing import StandingPlace
    from packets.selection.records import PagePlan


class Pipeline(Protocol):
    """The functions of `packets.pipeline` that commands call."""

    def build(self, request: BuildRequest, progress: Progress, examine: Examine) -> BuildReport: ...

    def plan(
        self, client: Path, recipe: str, progress: Progress, office: Path | None
    ) -> tuple[Inventory, PagePlan]: ...

    def inventory(self, client: Path, progress: Progress) -> Inventory: ...

    def mask(
        self,
        source: Path,
        target: Path,
        identifiers: Path | None,
        password: Secret | None,
        progress: Progress,
    ) -> MaskReport: ...

    def prove(
        self,
        paths: Sequence[Path],
        identifiers: Path | None,
        password: Secret | None,
        thorough: bool,
        progress: Progress,
    ) -> tuple[FileProof, ...]: ...


class Checking(Protocol):
    """The functions of `packets.handover.folder_checks` that commands call."""

    def check(self, request: CheckRequest, progress: Progress) -> CheckReport: ...

    def certify(self, report: CheckReport, request: CheckRequest, target: Path) -> None: ...

    def watch(
        self, request: CheckRequest, tell: Callable[[Judged], None], progress: Progress
    ) -> None: ...


class Signing(Protocol):
    """The functions of `packets.handover.grants_kept` that commands call."""

    def record(self, request: GrantRequest) -> RecordedGrant: ...

    def listed(
        self, client: Path, office: Path | None, today: dt.date | None = None
    ) -> tuple[ListedGrant, ...]: ...

    def withdraw(
        self, client: Path, identity: str, why: str, office: Path | None
    ) -> RecordedGrant: ...


class Mailing(Protocol):
    """The functions of `packets.mailing.send` that commands call."""

    def mail_server(
        self, url: str, credentials: Path | None, ca_file: Path | None
    ) -> MailServer: ...

    def prepare_mail(self, order: MailOrder, progress: Progress = silent) -> PreparedMail: ...

    def save_mail(self, prepared: PreparedMail, path: Path) -> Sent: ...

    def send_mail(
        self, prepared: PreparedMail, server: MailServer, progress: Progress = silent
    ) -> Sent: ...


class Passphrases(Protocol):
    """The functions of `packets.mailing.passphrases` that commands call."""

    def passphrase_kept(self, client: Path, packet: str) -> KeptPassphrase: ...

    def write_call_sheet(self, kept: KeptPassphrase, path: Path) -> Path: ...

    def set_standing(
        self, client: Path, passphrase: Secret, recipe: str, *, in_keyring: bool
    ) -> StandingPlace: ...

    def drop_standing(self, client: Path) -> bool: ...


Capturing = Callable[
    ["GrantRequest", int, Callable[[str], None], Progress],
    "RecordedGrant",
]
"""Grant to be signed for, minutes of silence after which it ends, who hears the address."""


Batching = Callable[["BatchOrder", Callable[[], "Workforce"], Progress], "BatchReport"]
"""Order, who hires the workers, who hears progress."""


Reviewing = Callable[["ReviewRequest", Callable[[str], None], Progress], str]
"""What to open, who hears the address, progress; returns why the pages ended."""

Previewing = Callable[["PreviewRequest", Progress], "PreviewReport"]


@loading()
def real_pipeline() -> Pipeline:
    """The pipeline itself; importing it pulls in every PDF library, so not before it is needed."""
    from packets import pipeline  # noqa: PLC0415 - the help of a command must not load PDF code

    return pipeline


@loading()
def real_checking() -> Checking:
    """The check of folders with all its readers, for the same reason."""
    from packets.handover import folder_checks  # noqa: PLC0415 - for the same reason

    return folder_checks


@loading()
def real_signing() -> Signing:
    """The keeping of grants; it reads forms and pictures, so not before it is needed."""
    from packets.handover import grants_kept  # noqa: PLC0415 - for the same reason

    return grants_kept


@loading()
def real_mailing() -> Mailing:
    """Mail and its check, for the same reason."""
    from packets.mailing import send  # noqa: PLC0415 - for the same reason

    return send


@loading()
def real_passphrases() -> Passphrases:
    """Passphrases of a client and the sheet to read them from, for the same reason."""
    from packets.mailing import passphrases  # noqa: PLC0415 - for the same reason

    return passphrases


@loading()
def real_previewing() -> Previewing:
    """The drawing of signing places, for the same reason."""
    from packets.handover.previews import preview  # noqa: PLC0415 - for the same reason

    return preview


@loading()
def real_batching() -> Batching:
    """The building of a whole season, for the same reason."""
    from packets.batch.season import run_batch  # noqa: PLC0415 - for the same reason

    return run_batch


@loading()
def real_capturing() -> Capturing:
    """The page to sign on; it needs a web server, which comes with an extra."""
    try:
        from packets.capture.capture import capture  # noqa: PLC0415 - for the same reason
    except ModuleNotFoundError as missing:
        if (missing.name or "").partition(".")[0] not in ("jinja2", "starlette", "uvicorn"):
            raise
        raise UsageError(
            "this needs what is installed with the extra `pages`",
            where="packets sign capture",
            remedy="Run `pip install '.[pages]'` in the folder of this program, then try again.",
        ) from missing
    return capture


@loading()
def real_reviewing() -> Reviewing:
    """The pages to look at packets; they need a web server, which comes with an extra."""
    try:
        from packets.review.review import review  # noqa: PLC0415 - for the same reason
    except ModuleNotFoundError as missing:
        needed = ("jinja2", "starlette", "tomlkit", "uvicorn")
        if (missing.name or "").partition(".")[0] not in needed:
            raise
        raise UsageError(
            "this needs what is installed with the extra `review`",
            where="packets review",
            remedy="Run `pip install '.[review]'` in the folder of this program, then try again.",
        ) from missing
    return review


def yes_or_no(question: str) -> bool | None:
    """Ask on the terminal; None where nobody sits at one."""
    if not sys.stdin.isatty():
        return None
    return click.confirm(question, default=False, err=True)


def tell_on_standard_error(words: str) -> None:
    """For what a person must know while a command still runs."""
    sys.stderr.write(f"{words}\n")
    sys.stderr.flush()


@dataclass(frozen=True)
class Surroundings:
    """The world around a command: the stations, the person at the keyboard, who hears progress."""

    pipeline: Callable[[], Pipeline] = real_pipeline
    checking: Callable[[], Checking] = real_checking
    signing: Callable[[], Signing] = real_signing
    capturing: Callable[[], Capturing] = real_capturing
    reviewing: Callable[[], Reviewing] = real_reviewing
    previewing: Callable[[], Previewing] = real_previewing
    batching: Callable[[], Batching] = real_batching
    mailing: Callable[[], Mailing] = real_mailing
    passphrases: Callable[[], Passphrases] = real_passphrases
    confirm: Callable[[str], bool | None] = yes_or_no
    """Asks a yes-or-no question; None where nobody is there to answer."""
    tell: Callable[[str], None] = tell_on_standard_error
    """Says something before the command has ended."""
    ask: Callable[[str], str] = getpass.getpass
    """Asks for a passphrase without showing what is typed."""
    progress: Progress = silent

"""The check of whole folders: what is remembered, what is certified, what is kept watch on."""

import datetime as dt
import hashlib
import os
import time
from collections.abc import Callable
from pathlib import Path

from packets import __version__
from packets.assembly.check_certificate import CertificateFacts, CertifiedFile, certificate
from packets.base.errors import UsageError
from packets.base.files import write_durably
from packets.base.limits import DEFAULT_LIMITS
from packets.base.progress import Progress, Step, silent
from packets.handover.check_request import CheckReport, CheckRequest
from packets.handover.known_beside import known_for
from packets.identifiers.kinds import MaskPolicy
from packets.outbound.folder import FolderJudge, check_path
from packets.outbound.keys import keys_for
from packets.outbound.remembered import RecordFolder
from packets.outbound.rule_version import rule_version
from packets.outbound.watching import Judged, Watch, held_beside
from packets.reading.engine import quiet_engine
from packets.sealing.number_free import without_numbers

_MOST_READERS = 12


def check(request: CheckRequest, progress: Progress = silent) -> CheckReport:
    """Judge every file under the paths, by readers that share nothing with the masker."""
    quiet_engine()
    record, notes = _record(request)
    verdicts = tuple(
        verdict
        for path, known in known_for(request.paths, request.identifiers)
        for verdict in check_path(
            path,
            known=known,
            policy=MaskPolicy(),
            passphrase=request.password,
            thorough=request.thorough,
            progress=progress,
            record=record,
            processes=request.processes,
        )
    )
    if record is not None and record.fault:
        notes += (f"Not all verdicts of this check are remembered: {record.fault}.",)
    return CheckReport(verdicts, notes)


def certify(
    report: CheckReport, request: CheckRequest, target: Path, at: dt.datetime | None = None
) -> None:
    """Write the one-page certificate of a check, durably. Raises OSError."""
    files = tuple(
        CertifiedFile(each.file, each.sha256, each.judgement.value) for each in report.verdicts
    )
    lines = sorted(f"{file.sha256}  {file.name}\n" for file in files)
    listed = "".join(lines).encode("utf-8", "surrogateescape")
    readers = sorted({(r.name, r.version) for each in report.verdicts for r in each.readers})
    facts = CertificateFacts(
        checked=_in_words(request, report),
        at=(at or dt.datetime.now().astimezone()).replace(microsecond=0),
        files=files,
        list_sha256=hashlib.sha256(listed).hexdigest(),
        readers=tuple(readers[:_MOST_READERS]),
        rules_sha256=rule_version(),
        program=f"packets {__version__}",
    )
    write_durably(target, certificate(facts))


def watch(
    request: CheckRequest,
    tell: Callable[[Judged], None],
    progress: Progress = silent,
    *,
    every: float = 2.0,
    pause: Callable[[float], None] = time.sleep,
) -> None:
    """Watch one folder until interrupted, looking `every` so many seconds.

    What is not clean is moved into `held/` beside the folder. Raises UsageError for
    anything but one folder; KeyboardInterrupt is how it ends.
    """
    if len(request.paths) != 1:
        raise UsageError("one folder at a time can be watched", where="packets check --watch")
    quiet_engine()
    ((folder, known),) = known_for(request.paths, request.identifiers)
    held = held_beside(folder)
    record, _ = _record(request)
    judge = FolderJudge(
        known,
        MaskPolicy(),
        request.password,
        keys_for,
        request.thorough,
        ours=False,
        limits=DEFAULT_LIMITS,
        record=record,
    )
    under_watch = Watch(folder, held, judge)
    try:
        while True:
            under_watch.look(tell)
            progress(Step("watching", folder.name))
            pause(every)
    finally:
        judge.close()


def record_folder() -> Path:
    """Where verdicts are remembered: in the cache of the account (XDG Base Directory)."""
    kept = os.environ.get("XDG_CACHE_HOME", "")
    cache = Path(kept) if kept.startswith("/") else Path.home() / ".cache"
    return cache / "packets" / "checked"


def _record(request: CheckRequest) -> tuple[RecordFolder | None, tuple[str, ...]]:
    if not request.remember:
        return None, ()
    try:
        return RecordFolder(record_folder()), ()
    except (OSError, RuntimeError):  # RuntimeError: an account without a home
        words = "Verdicts of this check are not remembered: their folder cannot be kept private."
        return None, (words,)


def _in_words(request: CheckRequest, report: CheckReport) -> str:
    if len(report.verdicts) == 1:
        return report.verdicts[0].file
    names = [without_numbers(path.absolute().name) for path in request.paths]
    return f"{', '.join(names)}, and all that lies below"

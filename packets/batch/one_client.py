"""One client of a batch, in a worker: pass it over, build it, or find that it was built.

Under the lock of the client's `batch/` folder, in this order: what a crash left behind
is put in order; the fingerprint of the folder is taken; the record is asked; `begun` is
written; the packet is built; the ending is written. A job that is handed out twice, by
a scheduler that lost sight of a worker, waits for the lock and finds the work done.
"""

import datetime as dt
import time
from collections.abc import Callable
from contextlib import nullcontext
from dataclasses import replace
from pathlib import Path

from packets.base.errors import ExitStatus, OurFault, UsageError
from packets.batch.batch_key import BatchKey, batch_key
from packets.batch.client_record import (
    BEGUN,
    ClientRecord,
    read_record,
    record_folder,
    write_record,
)
from packets.batch.failures import told_as
from packets.batch.fingerprint import fingerprint
from packets.batch.ledger_truth import ledger_now, made_since, put_in_order, still_there
from packets.batch.records import ClientJob, Ending, JobResult, MadePacket
from packets.handover.kept_masked import MaskedShelf, shelf_in_use
from packets.handover.program import program_digest_once
from packets.intake.titles import known_categories
from packets.pipeline import build
from packets.pipeline_records import BuildReport, BuildRequest
from packets.proving.examine import examine
from packets.recipe.model import Recipe
from packets.recipe.shelf import LoadedRecipe, find_recipe
from packets.sealing.folder_lock import folder_locked
from packets.sealing.passphrase import from_file
from packets.signatures.known_lines import known_places

Build = Callable[[BuildRequest], BuildReport]
WAITS = "waits for a person to look: packets review"
MASKED = "masked"
"""Folder of masked sources, inside the client's `batch/`."""


def _build(request: BuildRequest) -> BuildReport:
    """With the check loaded beforehand: a worker has no time for it between two clients."""
    return build(request, examine=examine)


def handle(job: ClientJob, build_packet: Build = _build) -> JobResult:
    """Do the job; whatever goes wrong is a result, and its words stay in the client folder."""
    started = time.monotonic()
    try:
        loaded = _recipe(job)
        client = Path(job.client)
        with folder_locked(record_folder(client)):
            # Under the lock, so that two do not make two keys.
            result = _Client(job, loaded, batch_key(client), build_packet).result()
    except Exception as error:
        ending, status, _ = told_as(error)
        # Nothing could be recorded, so nothing of the error's own words may be told.
        result = JobResult(ending, status, recorded=False, note=_bare(error))
    return replace(result, seconds=round(time.monotonic() - started, 3))


def _bare(error: Exception) -> str:
    if isinstance(error, _Refused):
        return str(error)
    return f"nothing can be recorded in this client folder ({type(error).__name__})"


class _Refused(UsageError):
    """A job that this worker cannot do; its words name no file of a client."""


def _recipe(job: ClientJob) -> LoadedRecipe:
    if program_digest_once() != job.program:
        raise _Refused("this worker runs another version of `packets` than the batch")
    loaded = find_recipe(job.recipe, known_categories(), known_places())
    if loaded.sha256 != job.recipe_sha256:
        raise _Refused("the recipe is not the one that the batch began with")
    return loaded


class _Client:
    """One job under the client's lock."""

    def __init__(
        self, job: ClientJob, loaded: LoadedRecipe, key: BatchKey, build_packet: Build
    ) -> None:
        self._job, self._loaded, self._key, self._build = job, loaded, key, build_packet
        self._client = Path(job.client)
        self._recipe: Recipe = loaded.recipe
        self._today = dt.date.today().isoformat()

    def result(self) -> JobResult:
        """Pass the client over, or build it."""
        try:
            put_in_order(self._client, self._recipe)
            print_now = fingerprint(self._job, self._key)
            found = read_record(self._client, self._recipe.name, self._key)
            known = self._from_record(found, print_now) if found else None
            return known or self._built(print_now)
        except Exception as error:
            ending, status, why = told_as(error)
            return self._ended(self._record(ending, "", status=int(status), why=why))

    def _from_record(self, found: ClientRecord, print_now: str) -> JobResult | None:
        """What is known without building: None where it has to be built."""
        if not found.fingerprint or found.fingerprint != print_now:
            return None
        if found.ending is None:
            return self._cut_short(found, print_now)
        again = found.run == self._job.run
        known = None
        if found.ending is Ending.DONE and still_there(self._client, self._recipe, found.packets):
            known = Ending.DONE if again else Ending.UNCHANGED
        elif found.ending is Ending.HELD and found.day == self._today:
            known = Ending.HELD
        return self._told(found, known) if known and (again or not self._job.afresh) else None

    def _cut_short(self, found: ClientRecord, print_now: str) -> JobResult | None:
        """A build that was stopped: its packet, if the ledger has it, is the one that is wanted."""
        made, pages = made_since(self._client, found, self._recipe.name, self._loaded.sha256)
        if not still_there(self._client, self._recipe, made):
            return None
        why = ("released before its worker was stopped; nothing was built twice",)
        record = self._record(Ending.DONE, print_now, pages=pages, packets=made, why=why)
        return self._ended(record)

    def _built(self, print_now: str) -> JobResult:
        ledger = ledger_now(self._client).entries
        begun = self._record(BEGUN, print_now)
        if ledger:
            begun = replace(begun, ledger_lines=len(ledger), ledger_head=ledger[-1].sha256)
        write_record(self._client, begun, self._key)
        shelf = MaskedShelf(record_folder(self._client) / MASKED, self._key.digest("masked", b""))
        with shelf_in_use(shelf) if self._job.keep_masked else nullcontext():
            report = self._build(self._request())
        made = tuple(
            MadePacket(one.packet.relative_to(self._client).as_posix(), one.sha256)
            for one in report.packets
        )
        if made:
            pages = sum(one.pages for one in report.packets)
            notes = tuple(note for one in report.packets for note in one.notes)
            why = (*([WAITS] if report.waits else []), *notes)
            record = self._record(Ending.DONE, print_now, pages=pages, packets=made, why=why)
        else:
            status, why = int(ExitStatus.HELD), report.held
            record = self._record(Ending.HELD, print_now, status=status, why=why)
        if fingerprint(self._job, self._key) != print_now:
            # Somebody worked in the folder meanwhile: the packet stands, and the next run looks.
            record = replace(record, fingerprint="")
        return self._ended(record)

    def _request(self) -> BuildRequest:
        job = self._job
        return BuildRequest(
            client=self._client,
            recipe=job.recipe,
            office=Path(job.office) if job.office else None,
            key_passphrase=from_file(Path(job.key_password_file))
            if job.key_password_file
            else None,
        )

    def _record(
        self,
        state: str,
        print_now: str,
        *,
        status: int = 0,
        pages: int = 0,
        packets: tuple[MadePacket, ...] = (),
        why: tuple[str, ...] = (),
    ) -> ClientRecord:
        return ClientRecord(
            recipe=self._recipe.name,
            state=state,
            run=self._job.run,
            fingerprint=print_now,
            day=self._today,
            status=status,
            pages=pages,
            packets=packets,
            why=why,
        )

    def _ended(self, record: ClientRecord) -> JobResult:
        """Write the record and tell it. A disk that refuses costs the record, not the packet."""
        ending = record.ending
        if ending is None:
            raise OurFault("a client was told before it had ended")
        try:
            write_record(self._client, record, self._key)
        except OSError:
            return replace(
                self._told(record, ending),
                recorded=False,
                note="the batch could not note this in the client folder",
            )
        return self._told(record, ending)

    def _told(self, record: ClientRecord, ending: Ending) -> JobResult:
        return JobResult(
            ending,
            ExitStatus(record.status),
            pages=record.pages,
            sha256=tuple(made.sha256 for made in record.packets),
        )

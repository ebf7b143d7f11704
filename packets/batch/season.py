"""Every client folder under a root, one outcome for each; no client stops another."""

import secrets
import time
from collections.abc import Callable, Iterator
from concurrent.futures import FIRST_COMPLETED, CancelledError, Future, wait
from pathlib import Path

from packets.base.errors import ExitStatus, PacketsError, UsageError
from packets.base.progress import Progress, Step, silent
from packets.batch.batch_key import batch_key
from packets.batch.client_folders import client_folders
from packets.batch.client_record import ClientRecord, read_record
from packets.batch.job import run_job
from packets.batch.pace import Pace
from packets.batch.records import (
    BatchOrder,
    BatchReport,
    ClientJob,
    ClientOutcome,
    Ending,
    JobResult,
)
from packets.batch.root_lock import root_locked
from packets.batch.workforce import Workforce
from packets.handover.office_keys import key_asks_for_passphrase
from packets.handover.program import program_digest_once
from packets.intake.titles import known_categories
from packets.recipe.shelf import LoadedRecipe, find_recipe
from packets.signatures.known_lines import known_places

Task = Callable[[ClientJob], JobResult]
_AHEAD = 4
"""Jobs in line for each worker: enough that none waits, few enough for a million clients."""


def run_batch(
    order: BatchOrder,
    hire: Callable[[], Workforce],
    progress: Progress = silent,
    task: Task = run_job,
) -> BatchReport:
    """Build what has changed, and tell what became of every client.

    Whatever decides for all clients is judged before anybody is hired: faults in the
    recipe, a passphrase that somebody would have to type, an office's key that asks for
    one. Raises `UsageError` and `FileFaults` for these, and what `client_folders` raises.
    Ctrl-C ends the workers; the same order once more goes on where it was stopped.
    """
    started = time.monotonic()
    loaded = _recipe(order)
    with root_locked(order.root):
        clients = client_folders(order.root)
        _demand_key(order, clients[0])
        season = _Season(order, loaded, task)
        workforce = hire()
        ended = False
        try:
            pace = Pace(len(clients), workforce.size)
            outcomes: list[ClientOutcome] = []
            progress(Step("batch", f"by {workforce.words}", 0, len(clients)))
            for outcome in season.run(clients, workforce):
                outcomes.append(outcome)
                pace.ended(outcome)
                progress(Step("batch", pace.words(), len(outcomes), len(clients)))
            ended = True
        finally:
            workforce.executor.shutdown(wait=True, cancel_futures=not ended)
    outcomes.sort(key=lambda outcome: str(outcome.client))
    return BatchReport(order, tuple(outcomes), time.monotonic() - started, workforce.words)


def _recipe(order: BatchOrder) -> LoadedRecipe:
    loaded = find_recipe(order.recipe, known_categories(), known_places())
    recipe = loaded.recipe
    if recipe.audience.encrypted and recipe.seal.passphrase != "generate":  # noqa: S105 - a way
        raise UsageError(
            "this recipe asks for a passphrase for each packet, and in a batch nobody is asked",
            where=f"recipe {recipe.name}",
            remedy='Give the recipe `passphrase = "generate"`, or agree on standing passphrases.',
        )
    return loaded


def _demand_key(order: BatchOrder, client: Path) -> None:
    if order.key_password_file is None and key_asks_for_passphrase(client, order.office):
        raise UsageError(
            "the office's key asks for a passphrase, and in a batch nobody is asked",
            where="--key-password-file",
            remedy="Give a file with the passphrase that only you may read (chmod 600).",
        )


class _Season:
    """The jobs of one batch."""

    def __init__(self, order: BatchOrder, loaded: LoadedRecipe, task: Task) -> None:
        self._order, self._loaded, self._task = order, loaded, task
        self._program, self._run = program_digest_once(), secrets.token_hex(16)
        given = order.recipe
        # A path means the same in every process only if it is whole.
        self._given = given if given == loaded.recipe.name else str(Path(given).absolute())

    def run(self, clients: tuple[Path, ...], workforce: Workforce) -> Iterator[ClientOutcome]:
        """Each client's outcome, in the order in which they end."""
        waiting = iter(clients)
        under_way: dict[Future[JobResult], Path] = {}
        while True:
            for client in waiting:
                try:
                    future = workforce.executor.submit(self._task, self._job(client))
                except Exception:
                    # They were lost for good; every client has its line all the same.
                    yield _failed(client, "there are no workers left.", _AGAIN)
                    continue
                under_way[future] = client
                if len(under_way) >= workforce.size * _AHEAD:
                    break
            if not under_way:
                return
            for future in wait(under_way, return_when=FIRST_COMPLETED).done:
                yield self._outcome(under_way.pop(future), future)

    def _job(self, client: Path) -> ClientJob:
        order = self._order
        return ClientJob(
            client=str(client.absolute()),
            recipe=self._given,
            recipe_sha256=self._loaded.sha256,
            program=self._program,
            run=self._run,
            office=str(order.office.absolute()) if order.office else "",
            key_password_file=str(order.key_password_file.absolute())
            if order.key_password_file
            else "",
            afresh=order.afresh,
            keep_masked=order.keep_masked,
        )

    def _outcome(self, client: Path, future: Future[JobResult]) -> ClientOutcome:
        try:
            result = future.result()
        except PacketsError as error:
            return _failed(client, f"{error}.", error.remedy)
        except CancelledError:
            return _failed(client, "the workers were lost before its turn came.", _AGAIN)
        except Exception as error:
            return _failed(client, f"its worker was lost ({type(error).__name__}).", _AGAIN)
        record = self._record(client) if result.recorded else None
        why = record.why if record else tuple(filter(None, [result.note]))
        return ClientOutcome(
            client=client,
            ending=result.ending,
            status=result.status,
            packets=record.packets if record else (),
            pages=result.pages,
            seconds=result.seconds,
            why=why,
        )

    def _record(self, client: Path) -> ClientRecord | None:
        """What the worker noted: the words never travel with the result."""
        try:
            return read_record(client, self._loaded.recipe.name, batch_key(client))
        except OSError:
            return None


_AGAIN = "Run the same command again: it goes on with what is left."


def _failed(client: Path, *why: str) -> ClientOutcome:
    return ClientOutcome(client, Ending.FAILED, ExitStatus.FAULT, why=tuple(filter(None, why)))

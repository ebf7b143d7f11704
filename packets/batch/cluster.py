"""Workers of a Dask cluster behind `concurrent.futures.Executor`, for who outgrows one machine.

Each of the cluster's workers gets processes of ours beside it (`LocalWorkers`), one for
each of its threads: so a client that hangs or takes its process along ends neither the
cluster's worker nor the clients beside it, and has the same time limit as on one
machine. What passes through the scheduler are `ClientJob` and `JobResult`: paths, digests,
figures. When a worker of the cluster is lost, its jobs are handed out again by the
scheduler; the client's own lock and record make that safe.

The client folders must lie under the same paths on every machine, on storage whose
locks hold between machines (flock: NFS 4, most cluster file systems).
"""

import contextlib
import secrets
from collections.abc import Callable
from concurrent.futures import Executor, Future
from typing import Any, ParamSpec, TypeVar

from distributed import Client, Reschedule, Worker, WorkerPlugin, get_worker

from packets.base.errors import OurFault, UsageError
from packets.batch.local_workers import WARM, LocalWorkers, SentAway

P = ParamSpec("P")
T = TypeVar("T")

_PATIENCE = 30.0
"""Seconds in which the scheduler has to answer."""


class _CrewPlugin(WorkerPlugin):
    """Our processes beside one worker of the cluster, for as long as the batch lasts."""

    def __init__(self, name: str, time_limit: float | None, warm: str) -> None:
        self.name = name
        self._limit, self._warm = time_limit, warm
        self.crew: LocalWorkers | None = None

    def setup(self, worker: Worker) -> None:
        """Called by Dask on the worker, also on one that joins later."""
        self.crew = LocalWorkers(worker.state.nthreads, time_limit=self._limit, warm=self._warm)

    def teardown(self, worker: Worker) -> None:  # noqa: ARG002 - as Dask calls it
        """Called by Dask when the batch has ended, or the worker does."""
        if self.crew is not None:
            self.crew.shutdown(wait=False, cancel_futures=True)


def in_crew(name: str, fn: Callable[..., Any], args: tuple[Any, ...]) -> Any:
    """Runs on a worker of the cluster: hand the job to the process beside it, and wait."""
    plugin = get_worker().plugins[name]
    if not isinstance(plugin, _CrewPlugin) or plugin.crew is None:
        raise OurFault("the processes beside this worker are gone")
    try:
        return plugin.crew.submit(fn, *args).result()
    except (SentAway, RuntimeError):
        # This worker of the cluster is closing and takes no job: another one does it.
        raise Reschedule from None


class ClusterWorkers(Executor):
    """The cluster at an address, `tcp://10.0.0.5:8786`. Raises `UsageError` where none is."""

    def __init__(self, address: str, *, time_limit: float | None = None, warm: str = WARM) -> None:
        try:
            self._client = Client(address, timeout=_PATIENCE, set_as_default=False)
        except (OSError, ValueError):
            raise UsageError(
                "no scheduler answers at this address",
                where="--cluster",
                remedy="Give the address that `dask scheduler` printed, such as tcp://host:8786.",
            ) from None
        if not self._client.nthreads():
            self._client.close()
            raise UsageError(
                "this cluster has no workers yet",
                where="--cluster",
                remedy="Start `dask worker` with this address on the machines that build.",
            )
        self._name = f"packets-batch-{secrets.token_hex(8)}"
        self._client.register_plugin(_CrewPlugin(self._name, time_limit, warm))
        # Our own jobs tell their errors in their results; what is raised is raised once.
        self._executor = self._client.get_executor(retries=0)

    @property
    def size(self) -> int:
        """Jobs that the cluster can be at together, as it is now."""
        threads: dict[str, int] = self._client.nthreads()
        return max(1, sum(threads.values()))

    def submit(self, fn: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs) -> Future[T]:
        """Put a job in line; the scheduler knows it by a random name."""
        if kwargs:
            raise TypeError("jobs of a cluster take no named arguments")
        future: Future[T] = self._executor.submit(in_crew, self._name, fn, args)
        return future

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:  # noqa: FBT001, FBT002, RUF100 - as Executor has it
        """End the batch's processes on every machine; the cluster itself goes on."""
        self._executor.shutdown(wait=wait and not cancel_futures)
        with contextlib.suppress(Exception):  # a scheduler that is gone needs no goodbye
            self._client.unregister_worker_plugin(self._name)
        with contextlib.suppress(Exception):
            self._client.close()

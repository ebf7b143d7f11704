"""Who does the work of a batch: processes of this machine, or a cluster."""

import os
from concurrent.futures import Executor
from dataclasses import dataclass

from packets.base.errors import UsageError


@dataclass(frozen=True)
class Workforce:
    """Those who were hired."""

    executor: Executor
    size: int
    words: str
    """`2 processes`, or the cluster's address."""


def hire_processes(jobs: int | None, time_limit: float) -> Workforce:
    """So many processes, or one for each processor; seconds for each client."""
    from packets.batch.local_workers import LocalWorkers  # noqa: PLC0415 - the other way needs none

    size = jobs or processors()
    words = f"{size} process{'' if size == 1 else 'es'}"
    return Workforce(LocalWorkers(size, time_limit=time_limit), size, words)


def hire_cluster(address: str, time_limit: float) -> Workforce:
    """The Dask cluster at this address. Raises `UsageError` where it cannot be had."""
    try:
        from packets.batch.cluster import ClusterWorkers  # noqa: PLC0415 - comes with an extra
    except ModuleNotFoundError as missing:
        if (missing.name or "").partition(".")[0] not in ("dask", "distributed"):
            raise
        raise UsageError(
            "this needs what is installed with the extra `cluster`",
            where="--cluster",
            remedy="Run `pip install '.[cluster]'` in the folder of this program, here and on "
            "every machine of the cluster, then try again.",
        ) from missing
    workers = ClusterWorkers(address, time_limit=time_limit)
    return Workforce(workers, workers.size, f"cluster {address}, {workers.size} at a time")


def processors() -> int:
    """How many processors this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1

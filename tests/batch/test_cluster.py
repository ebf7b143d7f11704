"""A season on a real Dask cluster: a worker dies, nothing is lost, the scheduler learns little."""

import threading
import time
from concurrent.futures import Executor

import batch_jobs
import pytest
from batch_clients import released, some_clients
from dask_cluster import cluster
from distributed import Client
from office_folders import put_pdf, run_packets

from packets.base.errors import UsageError
from packets.batch.cluster import ClusterWorkers
from packets.batch.local_workers import TooSlow, WorkerLost
from packets.batch.records import BatchOrder, Ending
from packets.batch.season import run_batch
from packets.batch.workforce import Workforce, hire_cluster


@pytest.fixture(scope="module")
def running(tmp_path_factory):
    with cluster(tmp_path_factory.mktemp("dask") / "cluster") as started:
        with Client(started.address, set_as_default=False) as client:
            client.wait_for_workers(2, timeout=60)
        yield started


def test_it_is_an_executor_whose_jobs_die_and_hang_alone(running):
    crew = ClusterWorkers(running.address, time_limit=0.5, warm=batch_jobs.WARM)
    with crew:
        assert isinstance(crew, Executor)
        assert crew.size == 2
        with pytest.raises(WorkerLost, match="signal 9"):
            crew.submit(batch_jobs.die).result(60)
        with pytest.raises(TooSlow):
            crew.submit(batch_jobs.hang).result(60)
        assert crew.submit(batch_jobs.twice, 21).result(60) == 42
        with pytest.raises(TypeError):
            crew.submit(batch_jobs.twice, number=21)


def everything_known_to(address: str) -> str:
    """All that the scheduler holds of tasks: their names and the orders themselves."""

    def told(dask_scheduler) -> str:
        import pickle

        return repr(
            [(key, pickle.dumps(task.run_spec)) for key, task in dask_scheduler.tasks.items()]
        )

    with Client(address, set_as_default=False) as client:
        return str(client.run_on_scheduler(told))


def test_a_worker_that_dies_in_mid_run_loses_nothing_and_doubles_nothing(running, tmp_path):
    clients = some_clients(tmp_path / "season", 4)
    held = clients[3]
    put_pdf(held / "documents" / "odd.pdf", ["666-12-3456 of no known form"])
    seen: list[str] = []

    def hire() -> Workforce:
        workforce = hire_cluster(running.address, 120.0)
        threading.Thread(target=strike).start()
        return workforce

    def strike() -> None:
        while not list(tmp_path.glob("season/*/batch/client-copy.json")):
            time.sleep(0.01)
        try:
            seen.append(everything_known_to(running.address))
        finally:
            running.kill(0)

    report = run_batch(BatchOrder(tmp_path / "season", "client-copy"), hire)
    assert running.workers[0].wait(60) == -9
    endings = {one.client: one.ending for one in report.outcomes}
    assert endings == {**dict.fromkeys(clients[:3], Ending.DONE), held: Ending.HELD}
    assert [len(released(client)) for client in clients] == [1, 1, 1, 0]
    assert "documents/odd.pdf" in report.outcomes[3].why[0]
    (known,) = seen
    assert "packets-batch-" in known
    assert "client-" in known  # the paths of the folders, which a job has to name
    for secret in ("666-12", "666123456", "Marsh", "odd.pdf", "identifiers", "2025-0201"):
        assert secret not in known

    again = run_packets(
        "batch",
        tmp_path / "season",
        "--recipe",
        "client-copy",
        "--cluster",
        running.address,
        "--json",
    )
    assert again.status == 1
    assert again.document["counts"]["unchanged"] == 3


def test_an_address_without_a_scheduler_is_told(monkeypatch):
    monkeypatch.setattr("packets.batch.cluster._PATIENCE", 0.5)
    with pytest.raises(UsageError, match="no scheduler"):
        ClusterWorkers("tcp://127.0.0.1:9")
    with pytest.raises(UsageError, match="no scheduler"):
        ClusterWorkers("nonsense://x")

"""Client folders for a batch, jobs on them, and a build that is over at once."""

from dataclasses import dataclass, field, replace
from pathlib import Path

from office_folders import small_client

from packets import pipeline
from packets.batch.batch_key import batch_key
from packets.batch.client_record import ClientRecord, read_record
from packets.batch.one_client import handle
from packets.batch.records import ClientJob, Ending, JobResult
from packets.handover.program import program_digest_once
from packets.pipeline_records import BuildReport, BuildRequest
from packets.recipe.shelf import find_recipe
from packets.sealing.ledger_chain import entries

RECIPE = "client-copy"


def some_clients(root: Path, count: int) -> list[Path]:
    """`count` small clients: client-0, client-1 …"""
    return [small_client(root / f"client-{number}") for number in range(count)]


def job_for(client: Path, recipe: str = RECIPE, run: str = "1" * 32, **more: object) -> ClientJob:
    """The job that a batch would hand out."""
    job = ClientJob(
        client=str(client),
        recipe=recipe,
        recipe_sha256=find_recipe(recipe).sha256,
        program=program_digest_once(),
        run=run,
    )
    return replace(job, **more)


@dataclass
class CountedBuild:
    """The pipeline, and how often it was asked."""

    asked: int = 0
    before: list = field(default_factory=list)
    """Called with the request before each build."""
    after: list = field(default_factory=list)

    def __call__(self, request: BuildRequest) -> BuildReport:
        self.asked += 1
        for call in self.before:
            call(request)
        report = pipeline.build(request)
        for call in self.after:
            call(request)
        return report


def ended(job: ClientJob, build: CountedBuild | None = None) -> JobResult:
    """Do the job in this process."""
    return handle(job, build or CountedBuild())


def record_of(client: Path) -> ClientRecord:
    found = read_record(client, RECIPE, batch_key(client))
    assert found is not None
    return found


def endings(*results: JobResult) -> list[Ending]:
    return [result.ending for result in results]


def released(client: Path) -> list[str]:
    """Packets that the ledger calls released, and which lie there."""
    told = [e.facts["packet"] for e in entries(client) if e.event == "released"]
    there = sorted(path.name for path in client.glob("outbound/*.pdf"))
    assert sorted(map(str, told)) == there
    return there

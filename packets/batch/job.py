"""The job as it is handed out: light to import for who only hands it out."""

from packets.base.loading import loading
from packets.batch.records import ClientJob, JobResult


def run_job(job: ClientJob) -> JobResult:
    """Do the job; whatever goes wrong is a result, and its words stay in the client folder."""
    with loading():
        from packets.batch.one_client import handle  # noqa: PLC0415 - pulls in every PDF library

    return handle(job)

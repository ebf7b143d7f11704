"""Run the command line in a process of its own with a stand-in pipeline.

`python run_with_stand_in.py CASE ARGUMENT...`; the case says what the pipeline does.
"""

import os
import sys
import time

from pipeline_stand_in import PipelineStandIn, held_report

from packets.base.progress import Progress
from packets.cli.entry import run
from packets.cli.progress_line import progress_on_terminal
from packets.cli.surroundings import Surroundings
from packets.intake.records import Inventory


class Noisy(PipelineStandIn):
    """Prints as a library might: through Python, and past it."""

    def inventory(self, client: object, progress: Progress) -> Inventory:
        sys.stdout.write("noise from Python\n")
        os.write(1, b"noise from C\n")
        return super().inventory(client, progress)


class Slow(PipelineStandIn):
    """Says that it has begun, and then takes its time."""

    def inventory(self, client: object, progress: Progress) -> Inventory:
        sys.stderr.write("begun\n")
        sys.stderr.flush()
        time.sleep(60)
        return super().inventory(client, progress)


CASES = {
    "released": PipelineStandIn,
    "held": lambda: PipelineStandIn(report=held_report()),
    "noisy": Noisy,
    "slow": Slow,
}

if __name__ == "__main__":
    pipeline = CASES[sys.argv[1]]()
    with progress_on_terminal() as progress:
        surroundings = Surroundings(
            pipeline=lambda: pipeline, checking=lambda: pipeline, progress=progress
        )
        status = run(sys.argv[2:], surroundings)
    sys.exit(status)

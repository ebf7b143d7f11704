"""What to do after a build."""

from packets.cli.plain_text import plain
from packets.pipeline_records import BuildReport


def next_steps(report: BuildReport) -> list[str]:
    """Sentences, in the order in which a preparer does things."""
    if report.released is None:
        return _steps_when_held(report)
    look = "Open the packet once and look through it before it goes out."
    if report.waits:
        client = plain(str(report.inventory.folder))
        look = f"It waits for a person to look: packets review {client}"
    steps = [*report.released.notes, look]
    if report.waits:
        return steps
    if report.verdict is None:
        steps.append("It carries full numbers: keep it to the office, or to the agency it is for.")
    if len(report.packets) > 1:
        steps.append(
            f"There are {len(report.packets)} numbered packets with one passphrase: mail each by "
            "itself."
        )
    if report.released.key_file or report.passphrase:
        steps.append(
            "Give the passphrase by telephone or in person, never in the same message "
            "as the packet."
        )
    elif report.verdict is None:
        steps.append("It is not encrypted: hand it over only through the channel of the agency.")
    if report.missing:
        steps.append(
            "Look at the lines left open under Signatures before anything that needs them is sent."
        )
    return steps


def _steps_when_held(report: BuildReport) -> list[str]:
    steps = ["Put right what is named above, then run the same command again."]
    if report.plan.stops:
        steps.append(
            "`packets plan` with the same folder and recipe shows each page and where it would go."
        )
    if report.verdict and report.verdict.sightings:
        steps.append(
            "Where a number was still seen, add it to identifiers.toml, or leave that page out "
            "in the recipe."
        )
    if report.verdict and report.verdict.unread:
        steps.append("Scan or export again what could not be read, or leave those pages out.")
    return steps

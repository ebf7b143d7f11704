"""A build as the pages start it: in a process of its own, told in a sentence."""

from dataclasses import dataclass
from pathlib import Path

from packets.base.progress import Progress
from packets.decisions.records import ReviewDesk


@dataclass(frozen=True)
class Built:
    """What came of a build, without anything secret."""

    held: tuple[str, ...]
    waits: bool
    """Whether it waits for a person; else it was released at once, as its recipe says."""


def rebuilt(desk: ReviewDesk, client: Path, recipe: str, progress: Progress) -> Built:
    """Build one packet; the desk travels to the process that does it. Raises what a build does."""
    report = desk.rebuild(client, recipe, progress)
    return Built(report.held, report.released is not None and report.waits)


def came_of(built: Built) -> str:
    """One sentence for the page."""
    if built.held:
        return "The build was held. The page of the packet says why, and what to do."
    if built.waits:
        return "The packet was built. It is shown as it would go out, and waits for a decision."
    return "The packet was built and released, as its recipe asks for no look before."

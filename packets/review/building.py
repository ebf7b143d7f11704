"""What runs apart for the pages: a build, and the masking of source pages for the screen."""

from dataclasses import dataclass
from pathlib import Path

from packets.base.progress import Progress


@dataclass(frozen=True)
class Built:
    """What came of a build, without anything secret."""

    packet: str
    """File name; empty where it was held."""
    held: tuple[str, ...]


@dataclass(frozen=True)
class Builder:
    """Builds with the office's settings. It travels to another process as it is."""

    office: Path | None = None
    key_password_file: Path | None = None

    def __call__(self, client: Path, recipe: str, progress: Progress) -> Built:
        """Build one packet; raises what `packets.pipeline.build` raises."""
        # Imported where it runs: the pages themselves load no masking.
        from packets.pipeline import build  # noqa: PLC0415
        from packets.pipeline_records import BuildRequest  # noqa: PLC0415
        from packets.sealing.passphrase import from_file  # noqa: PLC0415

        key = from_file(self.key_password_file) if self.key_password_file else None
        report = build(
            BuildRequest(client, recipe, office=self.office, key_passphrase=key), progress
        )
        return Built(report.facts.packet if not report.held else "", report.held)


def came_of(built: Built) -> str:
    """One sentence for the page."""
    if built.held:
        return "The build was held. Below stands why, and what to do."
    return "The packet was built again. Below it is shown as it would go out."

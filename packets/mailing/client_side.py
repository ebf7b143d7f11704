"""What mailing reads of a client folder: the engagement and the known numbers, no documents."""

from dataclasses import dataclass
from pathlib import Path

from packets.base.errors import UsageError
from packets.identifiers.kinds import KnownNumber
from packets.intake.engagement import (
    ENGAGEMENT_FILE,
    Engagement,
    EngagementFile,
    engagement_faults,
)
from packets.intake.identifiers_file import IDENTIFIERS_FILE, load_identifiers
from packets.intake.private_files import close_to_others
from packets.recipe.loader import load_file
from packets.sealing.number_free import plain_text


@dataclass(frozen=True)
class ClientSide:
    """Who the client is, and the numbers that may stand nowhere."""

    folder: Path
    file: EngagementFile
    known: tuple[KnownNumber, ...]

    @property
    def engagement(self) -> Engagement:
        """The table `[engagement]`."""
        return self.file.engagement


def client_side(folder: Path) -> ClientSide:
    """Read the folder's engagement.toml and identifiers.toml.

    Raises `UsageError` where there is no engagement.toml, `FileFaults` for faults in either.
    """
    path = folder / ENGAGEMENT_FILE
    if not path.is_file():
        raise UsageError(
            f"this is no client folder: it has no {ENGAGEMENT_FILE}",
            where=plain_text(str(folder)),
            remedy="Name the client's folder; for a packet that lies elsewhere give --client.",
        )
    file = load_file(path, EngagementFile, engagement_faults)
    numbers = folder / IDENTIFIERS_FILE
    if not numbers.is_file():
        return ClientSide(folder, file, ())
    close_to_others(numbers, IDENTIFIERS_FILE)
    return ClientSide(folder, file, load_identifiers(numbers))

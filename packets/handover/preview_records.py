"""What is asked of a preview and what it reports; no PDF library in sight."""

from dataclasses import dataclass
from pathlib import Path

from packets.signatures.records import RoleLines


@dataclass(frozen=True)
class PreviewRequest:
    """Pictures of the signing places of one packet that is not built yet."""

    client: Path
    recipe: str
    """Name of a shipped recipe, or path of a recipe file."""
    out: Path | None = None
    """Folder for the pictures; None for CLIENT/previews/ and the recipe's name."""
    office: Path | None = None
    """An office.toml; None for the nearest one from the client folder upward."""


@dataclass(frozen=True)
class PlacePicture:
    """One signing place with the image in it, as a picture."""

    path: Path
    file: str
    page: int
    role: str
    grant: str


@dataclass(frozen=True)
class PreviewReport:
    """The pictures, and what else is to be known before building."""

    folder: Path
    pictures: tuple[PlacePicture, ...]
    lines: tuple[RoleLines, ...]
    open_lines: tuple[str, ...]
    """Lines that ask and get nothing, in sentences."""
    unshown: tuple[str, ...]
    """Places whose surroundings cannot be masked for certain, so that no picture was made."""

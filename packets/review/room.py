"""What all pages of one opening share: the folders they may reach, and what is open of them."""

import threading
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from packets.decisions.records import ClientRow, RecipeRow, ReviewDesk
from packets.recipe.shelf import recipe_names
from packets.review.addresses import client_at, client_letters, recipe_at
from packets.review.open_cases import Gone, OpenCases
from packets.review.pictures import PictureShelf
from packets.review.shown_sources import ShownSources
from packets.review.works import Works

AUTOMATIC = "packet"
"""Stands for the recipe in the address of a folder from which nothing was built."""


@dataclass
class Room:
    """Safe to ask from several threads."""

    root: Path
    recipe: str
    """Name or path that the command was given; may be empty."""
    idle_minutes: int
    desk: ReviewDesk
    works: Works = field(default_factory=Works)
    """Builds."""
    maskings: Works = field(default_factory=Works)
    """Source pages masked for the screen: no build waits for them."""
    cases: OpenCases = field(init=False)
    sources: ShownSources = field(init=False)
    _folders: dict[str, Path] = field(default_factory=dict, repr=False)
    _lock: threading.Lock = field(default_factory=threading.Lock, repr=False)

    def __post_init__(self) -> None:
        shelf = PictureShelf()
        self.cases = OpenCases(self.desk, shelf)
        self.sources = ShownSources(shelf)

    @property
    def single(self) -> bool:
        """Whether the pages are about one client folder alone."""
        return (self.root / "engagement.toml").exists()

    def rows(self) -> tuple[ClientRow, ...]:
        """Every client folder, those first that need a person."""
        rows = self.desk.clients(self.root)
        with self._lock:
            self._folders = {client_letters(row): row.folder for row in rows}
        return rows

    def row(self, letters: str) -> ClientRow:
        """The client folder with this address, as it stands now. Raises Gone."""
        with self._lock:
            folder = self._folders.get(letters)
        among: Sequence[ClientRow] = self.rows() if folder is None else self.desk.clients(folder)
        found = client_at(letters, among)
        if found is None:
            raise Gone
        return found

    def wanted(self, row: ClientRow, letters: str) -> RecipeRow | None:
        """The recipe of that address; None where nothing was built by it. Raises Gone."""
        found = recipe_at(letters, row)
        if found is None and letters != AUTOMATIC:
            raise Gone
        return found

    def recipes(self, row: ClientRow) -> tuple[str, ...]:
        """What a build from this folder may be given, the likeliest first."""
        used = [one.given for one in row.recipes if one.given]
        return tuple(dict.fromkeys(filter(None, (self.recipe, *used, *recipe_names()))))

    def close(self) -> None:
        """End what is under way and let go of everything."""
        self.maskings.close()
        self.works.close()
        self.cases.close()
        self.sources.close()

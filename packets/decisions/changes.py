"""Is a packet still what a build of today would make? By digests, without a reader.

The ledger line of a build holds digests of its documents, of the files beside them and of
its recipe. A document is read again only where its name is new, or where the disk says
that it was written after the build began.
"""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from packets.base.canonical import Json, sha256_hex
from packets.base.errors import InputRefused, UsageError
from packets.base.files import file_sha256
from packets.handover.input_files import NAMES, input_files
from packets.intake.folder_walk import FoundFile, list_documents
from packets.recipe.shelf import recipe_names, shipped_folder
from packets.sealing.ledger_chain import Entry
from packets.sealing.number_free import plain_text
from packets.sealing.source_versions import SourceFile, current_sources, sources_sha256

CANNOT_TELL = "it was built by a version that did not record what it was made from"


@dataclass(frozen=True)
class Present:
    """The client folder as it lies there now."""

    client: Path
    office: Path | None
    entries: tuple[Entry, ...]

    def changes(self, facts: dict[str, Json], *, thorough: bool = False) -> tuple[str, ...]:
        """What differs from a build with these facts, in sentences.

        `thorough` reads every document, whatever the disk says of its time.
        """
        return tuple(self._changes(facts, thorough))

    def _changes(self, facts: dict[str, Json], thorough: bool) -> Iterator[str]:
        was = facts.get("inputs")
        if not isinstance(was, dict) or not was:
            if thorough:
                yield CANNOT_TELL
            return
        for name, now in input_files(self.client, self.office):
            if was.get(name, "") != now:
                yield f"{NAMES[name]} is not what it was at the build"
        yield from recipe_change(facts)
        then = facts.get("sources_sha256")
        if isinstance(then, str) and self._documents(facts, thorough) != then:
            yield "documents were added, changed or taken away since the build"

    def _documents(self, facts: dict[str, Json], thorough: bool) -> str:
        """The digest of the documents; that of the ledger where nothing was written since."""
        try:
            found = list_documents(self.client).files
            if not thorough:
                known = current_sources(self.entries)
                names = sorted(plain_text(one.name) for one in found)
                if names == sorted(one.file for one in known) and _all_older(found, facts):
                    return sources_sha256(known)
            return sources_sha256(SourceFile(one.name, file_sha256(one.path)) for one in found)
        except OSError:
            return ""  # what cannot be read is not what it was


def _all_older(found: tuple[FoundFile, ...], facts: dict[str, Json]) -> bool:
    try:
        began = dt.datetime.fromisoformat(str(facts.get("built_at"))).timestamp()
    except ValueError:
        return False
    for one in found:
        status = one.path.stat()
        if max(status.st_mtime, status.st_ctime) >= began:
            return False
    return True


def recipe_change(facts: dict[str, Json]) -> Iterator[str]:
    """A sentence where the recipe is not the very file that made the packet."""
    given, sha256 = str(facts.get("recipe_given", "")), facts.get("recipe_sha256")
    try:
        path = Path(given)
        if given in recipe_names():
            path = Path(str(shipped_folder("recipes") / f"{given}.toml"))
        now = sha256_hex(path.read_bytes())
    except (OSError, ValueError, InputRefused, UsageError):
        yield "the recipe of the build is not where it was"
        return
    if now != sha256:
        yield "the recipe is not what it was at the build"

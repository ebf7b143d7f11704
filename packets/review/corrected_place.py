"""Which page an address means, among the files of the client folder that the case names."""

from collections.abc import Iterator, Mapping
from typing import Any

from packets.decisions.records import Origin, ReviewCase
from packets.review.addresses import letters_for
from packets.review.open_cases import Gone
from packets.review.room import Room

NOT_YET = "It was not masked for the screen yet."


def files_of(case: ReviewCase) -> tuple[str, ...]:
    """Every source file that the case names, each once."""
    return tuple(dict.fromkeys(_files(case)))


def _files(case: ReviewCase) -> Iterator[str]:
    yield from (source.file for source in case.sources)
    yield from (out.file for out in case.left_out)
    yield from (origin.file for origin in case.origins if origin)


def file_at(case: ReviewCase, letters: str) -> str:
    """The source file with this address. Raises Gone."""
    found = next((file for file in files_of(case) if letters_for(file) == letters), None)
    if found is None:
        raise Gone
    return found


def pages_of(case: ReviewCase, file: str) -> int:
    """How many pages the file has; 0 where the case does not say."""
    return next((source.pages for source in case.sources if source.file == file), 0)


def shown_source(room: Room, at: Mapping[str, Any], origin: Origin) -> tuple[str, str]:
    """Address of a source page's picture, or why it is not shown."""
    row = room.row(at["client"])
    masked = room.sources.find(at["client"], row.folder, origin.file, origin.page)
    if masked is None:
        return "", NOT_YET
    if not masked.pdf:
        return "", masked.why
    return f"../../../../shown/{letters_for(origin.file)}/{origin.page}.png", ""

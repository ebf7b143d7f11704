"""Parts that contradict themselves, each other, or the categories the house knows."""

from collections.abc import Collection, Iterator, Sequence

from packets.recipe.draft import (
    DraftPart,
    PlacedText,
    TomlTable,
    draft_parts,
    draft_places,
)
from packets.recipe.key_faults import KeyFault, dotted, nearest_word
from packets.recipe.patterns import first_match, matches, overlap

_CATEGORY = "a category of the house, or a pattern with * that fits one"


def check_parts(recipe: TomlTable) -> Iterator[KeyFault]:
    """Headings used twice, requirements that cannot be met, takes that can never take."""
    parts = draft_parts(recipe)
    yield from _repeated_headings(parts)
    for position, part in enumerate(parts):
        yield from _repeated_patterns(part)
        for required in part.required:
            yield from _unmet(required, part, parts[:position])
        for take in part.take:
            yield from _taken_before(take, parts[:position])


def check_categories(recipe: TomlTable, known: Collection[str]) -> Iterator[KeyFault]:
    """Patterns that fit no known category, so that a slip of the pen takes nothing."""
    for part in draft_parts(recipe):
        for placed in (*part.take, *part.leave, *part.required):
            yield from _unknown(placed, known)
    for place in draft_places(recipe):
        for placed in place.on:
            yield from _unknown(placed, known)


def _unknown(placed: PlacedText, known: Collection[str]) -> Iterator[KeyFault]:
    if not any(matches(placed.text, category) for category in known):
        near = nearest_word(placed.text, known)
        yield KeyFault(placed.at, "no category fits this", _CATEGORY, near)


def _repeated_headings(parts: Sequence[DraftPart]) -> Iterator[KeyFault]:
    first: dict[str, DraftPart] = {}
    for part in parts:
        if part.heading is None:
            continue
        words = " ".join(part.heading.text.split()).casefold()
        if words in first:
            where = dotted(first[words].at)
            yield KeyFault(part.heading.at, f"{where} has the same heading; give each its own")
        first.setdefault(words, part)


def _repeated_patterns(part: DraftPart) -> Iterator[KeyFault]:
    for patterns in (part.take, part.leave, part.required):
        seen: set[str] = set()
        for placed in patterns:
            if placed.text in seen:
                yield KeyFault(placed.at, "this entry stands twice in the same list")
            seen.add(placed.text)


def _unmet(
    required: PlacedText, part: DraftPart, before: Sequence[DraftPart]
) -> Iterator[KeyFault]:
    """A requirement that this part could never meet, whatever the client folder holds."""
    if not any(overlap(required.text, take.text) for take in part.take):
        yield KeyFault(
            required.at, "this is required, but `take` of the same part does not admit it"
        )
    elif "*" in required.text:
        return
    elif _fits(part.leave, required.text):
        yield KeyFault(required.at, "this is required, but `leave` of the same part takes it out")
    else:
        yield from _earlier(required, before, "this is required here, but")


def _taken_before(take: PlacedText, before: Sequence[DraftPart]) -> Iterator[KeyFault]:
    """An entry that never takes a page, because an earlier part has them all."""
    if "*" not in take.text:
        yield from _earlier(take, before, "this never takes a page:")
        return
    for part in before:
        whole = [placed.text for placed in part.take if placed.text in ("*", take.text)]
        if whole and not any(overlap(placed.text, take.text) for placed in part.leave):
            yield KeyFault(take.at, f"this never takes a page: {dotted(part.at)} takes them first")
            return


def _earlier(placed: PlacedText, before: Sequence[DraftPart], what: str) -> Iterator[KeyFault]:
    for part in before:
        if _fits(part.take, placed.text) and not _fits(part.leave, placed.text):
            yield KeyFault(placed.at, f"{what} {dotted(part.at)} takes them first")
            return


def _fits(patterns: Sequence[PlacedText], category: str) -> bool:
    return first_match((placed.text for placed in patterns), category) is not None

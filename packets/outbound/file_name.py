"""A file's name goes out with it, and must not show a number either."""

from dataclasses import replace

from packets.outbound.crude_scan import Hit
from packets.outbound.hunting import Hunter
from packets.outbound.records import Judgement, Sighting, Verdict

READER = "file name"


def without_numbers(name: str, hunter: Hunter) -> tuple[str, tuple[Hit, ...]]:
    """`name` as it may stand in a verdict, and the numbers that it shows."""
    hits = hunter.in_string(name)
    return ("a file whose name shows a number" if hits else name), hits


def held_for_name(judged: Verdict, hits: tuple[Hit, ...]) -> Verdict:
    """The verdict, held where the file's name shows a number."""
    if not hits:
        return judged
    seen = tuple(Sighting(kind, 0, "name of the file", READER, sure) for kind, sure in hits)
    sightings = tuple(sorted({*judged.sightings, *seen}))
    return replace(judged, judgement=Judgement.HELD, sightings=sightings)

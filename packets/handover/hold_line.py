"""The ledger line of a build that was held: why, where on its way, and what stayed out."""

from pathlib import Path

from packets.base.canonical import Json
from packets.handover.holds import Hold
from packets.sealing.ledger import Entry, append
from packets.sealing.manifest import utc_text
from packets.sealing.records import PacketFacts

HELD = "held"
MOST_REASONS = 100


def note_hold(client: Path, facts: PacketFacts, hold: Hold) -> Entry:
    """Add the line. Raises what `ledger.append` raises."""
    more = len(hold.reasons) - MOST_REASONS
    reasons: list[Json] = [*hold.reasons[:MOST_REASONS]]
    if more > 0:
        reasons.append(f"and {more} more")
    left_out: list[Json] = [
        {"file": source.file, "pages": list(pages), "why": why}
        for source in facts.sources
        for pages, why in source.left_out
    ]
    lines: list[Json] = [
        {
            "role": line.role,
            "file": facts.sources[line.source].file,
            "page": line.page,
            "why": line.why,
        }
        for line in facts.open_lines
    ]
    return append(
        client,
        HELD,
        {
            "recipe": facts.recipe_name,
            "recipe_sha256": facts.recipe_sha256,
            "recipe_given": facts.recipe_given,
            "built_at": utc_text(facts.built_at),
            "inputs": dict(facts.inputs),
            "station": hold.station.value,
            "reasons": reasons,
            "sources": [{"file": one.file, "pages": one.pages} for one in facts.sources],
            "left_out": left_out,
            "open_lines": lines,
        },
    )

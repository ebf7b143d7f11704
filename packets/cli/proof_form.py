"""The JSON form of a proof of the check."""

from packets.base.canonical import Json
from packets.proving.records import Proof


def proof_form(proof: Proof | None) -> dict[str, Json] | None:
    """What was planted in copies and found: `places`, `found`, each row; null for no proof."""
    if proof is None:
        return None
    return {
        "places": len(proof.rows),
        "found": proof.found,
        "planted": [
            {
                "family": row.family,
                "place": row.place,
                "number": row.told.value,
                "found": row.found,
                "how": row.outcome.value,
                "seen_by": list(row.seen_by),
            }
            for row in proof.rows
        ],
    }

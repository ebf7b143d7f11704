"""The JSON form of a verdict of the outbound check."""

from packets.base.canonical import Json
from packets.cli.plain_text import plain
from packets.outbound.records import Verdict


def verdict_form(verdict: Verdict) -> dict[str, Json]:
    """One verdict of the outbound check: `verdict`, `readers`, `sightings`, `unread`."""
    return {
        "file": plain(verdict.file),
        "sha256": verdict.sha256,
        "verdict": verdict.judgement.value,
        "readers": [
            {
                "name": reader.name,
                "version": reader.version,
                "pages": reader.pages,
                "findings": reader.findings,
            }
            for reader in verdict.readers
        ],
        "sightings": [
            {
                "kind": sighting.kind,
                "page": sighting.page,
                "place": plain(sighting.place),
                "reader": sighting.reader,
                "how_sure": sighting.how_sure,
            }
            for sighting in verdict.sightings
        ],
        "unread": [plain(place) for place in verdict.unread],
    }

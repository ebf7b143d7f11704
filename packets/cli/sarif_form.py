"""A check as a SARIF log (OASIS Static Analysis Results Interchange Format 2.1.0)."""

from urllib.parse import quote

from packets import __version__
from packets.base.canonical import Json
from packets.cli.plain_text import plain
from packets.cli.verdict_sheet import sighting_cells
from packets.outbound.records import Verdict

SCHEMA = (
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
)
_RULES = (
    ("full-number", "A full taxpayer, account or card number."),
    ("not-readable", "Something that could not be read: it is not clean."),
)


def sarif_log(verdicts: tuple[Verdict, ...]) -> dict[str, Json]:
    """One run; an artifact for each file (3.24), a result for each sighting or unread place."""
    results: list[Json] = []
    for at, verdict in enumerate(verdicts):
        for seen in verdict.sightings:
            words = ", ".join(sighting_cells(seen))
            results.append(_result(0, words, at, verdict, seen.page, seen.place))
        results += [_result(1, words, at, verdict, 0, words) for words in verdict.unread]
    driver: dict[str, Json] = {
        "name": "packets check",
        "version": __version__,
        "rules": [
            {
                "id": rule,
                "shortDescription": {"text": words},
                "defaultConfiguration": {"level": "error"},
            }
            for rule, words in _RULES
        ],
    }
    run: dict[str, Json] = {
        "tool": {"driver": driver},
        "invocations": [{"executionSuccessful": True}],
        "artifacts": [
            {
                "location": {"uri": _uri(verdict)},
                "hashes": {"sha-256": verdict.sha256},
                "properties": {"position": at, "verdict": verdict.judgement.value},
            }
            for at, verdict in enumerate(verdicts, 1)
        ],
        "results": results,
    }
    return {"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}


def _result(rule: int, words: str, at: int, verdict: Verdict, page: int, place: str) -> Json:
    where = f"page {page}, {place}" if page else place
    return {
        "ruleId": _RULES[rule][0],
        "ruleIndex": rule,
        "kind": "fail",
        "level": "error",
        "message": {"text": _line(words)},
        "locations": [
            {
                "physicalLocation": {"artifactLocation": {"uri": _uri(verdict), "index": at}},
                "logicalLocations": [{"fullyQualifiedName": _line(where)}],
            }
        ],
    }


def _uri(verdict: Verdict) -> str:
    """The file's name as a relative reference (RFC 3986); `./` keeps a colon in its place."""
    return "./" + quote(_line(verdict.file))


def _line(words: str) -> str:
    return plain(words).replace("\n", "?")

"""The manifest beside a packet: what it is, made from what, checked by what.

Unencrypted JSON for machines, so it holds masked numbers only. `checksum` is the
SHA-256 of the RFC 8785 form of all the other keys: it shows damage and careless
edits. Who wants proof against a forger keeps `sha256` by another route.
"""

import datetime as dt
import json
from pathlib import Path
from typing import cast

from packets.base.canonical import Json, checksum_of
from packets.base.errors import Damaged, InputRefused, OurFault
from packets.sealing.number_free import plain_text
from packets.sealing.records import PacketFacts, SealedPacket

FORMAT = 1
SUFFIX = ".manifest.json"
_LARGEST = 64 * 1024 * 1024
_KEYS = frozenset(
    {
        "manifest",
        "packet",
        "sha256",
        "content_sha256",
        "bytes",
        "pages",
        "recipe",
        "engagement",
        "built_at",
        "encryption",
        "sources",
        "parts",
        "masks",
        "signatures",
        "check",
        "retention",
        "tools",
        "checksum",
    }
)

SET = "set"
"""The key that only a numbered packet has."""
ORIGINS, OPEN_LINES = "origins", "open_lines"
"""Keys that only a packet has that waited for a person to look."""
LET_THROUGH = "let_through"
"""Key that only a packet has in which a person has let something through."""
_OPTIONAL = frozenset({SET, ORIGINS, OPEN_LINES, LET_THROUGH})


def manifest_path(packet: Path) -> Path:
    """`NAME.manifest.json` beside `NAME.pdf`."""
    return packet.with_name(packet.stem + SUFFIX)


def utc_text(moment: dt.datetime) -> str:
    """RFC 3339, UTC, whole seconds: `2026-03-03T14:05:09Z`. A time without zone is our fault."""
    if moment.tzinfo is None:
        raise OurFault("a time without its time zone was to be recorded")
    return moment.astimezone(dt.UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def manifest_bytes(facts: PacketFacts, sealed: SealedPacket) -> bytes:
    """The manifest as indented UTF-8 JSON; the same facts and packet make the same bytes.

    File names and other words that a person chose are shown with any number in
    them cut to its last four digits.
    """
    record: dict[str, Json] = {
        "manifest": FORMAT,
        "packet": facts.packet,
        "sha256": sealed.sha256,
        "content_sha256": facts.content_sha256,
        "bytes": len(sealed.pdf),
        "pages": facts.pages,
        "recipe": {"name": plain_text(facts.recipe_name), "sha256": facts.recipe_sha256},
        "engagement": {"id": plain_text(facts.engagement_id), "tax_year": facts.tax_year},
        "built_at": utc_text(facts.built_at),
        "encryption": {"algorithm": sealed.algorithm, "revision": sealed.revision},
        "sources": _sources(facts),
        "parts": [
            {"heading": plain_text(heading), "first_page": first, "pages": pages}
            for heading, first, pages in facts.parts
        ],
        "masks": _masks(facts),
        "signatures": _signatures(facts),
        "check": _check(facts),
        "retention": [
            {
                "rule": line.rule,
                "keep_until": line.keep_until.isoformat(),
                "source": line.source,
            }
            for line in facts.retention
        ],
        "tools": dict(sorted(facts.tools)),
    }
    if facts.whole_set:
        record[SET] = _set(facts)
    if facts.review:
        record[ORIGINS] = _origins(facts)
        record[OPEN_LINES] = _open_lines(facts)
    if facts.let_through:
        record[LET_THROUGH] = [
            {"page": line.page, "place": list(line.place), "why": plain_text(line.why)}
            for line in facts.let_through
        ]
    record["checksum"] = checksum_of(record)
    return _written(record)


def _written(record: dict[str, Json]) -> bytes:
    return (json.dumps(record, ensure_ascii=False, indent=2, allow_nan=False) + "\n").encode()


def _set(facts: PacketFacts) -> Json:
    """All numbered packets of the build, so that each manifest knows of every other."""
    return {
        "number": facts.number,
        "packets": [
            {
                "number": line.number,
                "sha256": line.sha256,
                "bytes": line.bytes,
                "pages": line.pages,
                "parts": [plain_text(heading) for heading in line.headings],
            }
            for line in facts.whole_set
        ],
    }


def _origins(facts: PacketFacts) -> Json:
    return [
        {
            "first_page": line.first_page,
            "pages": line.pages,
            "source": line.source,
            "from_page": line.from_page,
        }
        for line in facts.origins
    ]


def _open_lines(facts: PacketFacts) -> Json:
    return [
        {"role": line.role, "source": line.source, "page": line.page, "why": plain_text(line.why)}
        for line in facts.open_lines
    ]


def _sources(facts: PacketFacts) -> Json:
    return [
        {
            "file": plain_text(source.file),
            "sha256": source.sha256,
            "pages": source.pages,
            "used": source.used,
            "left_out": [
                {"pages": list(pages), "why": plain_text(why)} for pages, why in source.left_out
            ],
            "signatures": [
                {
                    "field": plain_text(line.field),
                    "signer": plain_text(line.signer),
                    "signed_at": plain_text(line.signed_at),
                    "verdict": line.verdict,
                }
                for line in source.signatures
            ],
        }
        for source in facts.sources
    ]


def _masks(facts: PacketFacts) -> Json:
    return [
        {
            "kind": mask.kind,
            "shown": plain_text(mask.shown),
            "page": mask.page,
            "place": list(mask.place),
        }
        for mask in facts.masks
    ]


def _signatures(facts: PacketFacts) -> Json:
    return [
        {
            "role": line.role,
            "page": line.page,
            "place": list(line.place),
            "grant": plain_text(line.grant),
            "image_sha256": line.image_sha256,
        }
        for line in facts.signatures
    ]


def _check(facts: PacketFacts) -> Json:
    return {
        "verdict": facts.verdict,
        "readers": [
            {
                "name": reader.name,
                "version": reader.version,
                "pages": reader.pages,
                "findings": reader.findings,
            }
            for reader in facts.readers
        ],
        "proof": _proof(facts),
    }


def _proof(facts: PacketFacts) -> Json:
    """Numbers planted in a copy of this packet: how many, how many found, and each place."""
    if not facts.proof:
        return None
    return {
        "places": len(facts.proof),
        "found": sum(line.found for line in facts.proof),
        "planted": [{"place": line.place, "found": line.found} for line in facts.proof],
    }


def read_manifest(path: Path) -> dict[str, Json]:
    """The manifest at `path` as parsed JSON, after its keys and its checksum were found right.

    Raises `Damaged` when it is not such a manifest or was altered, be it in one
    blank, and `InputRefused` when it cannot be read.
    """
    return manifest_of(manifest_file_bytes(path), plain_text(str(path)))


def manifest_file_bytes(path: Path) -> bytes:
    """The bytes of a manifest file; raises `InputRefused` or `Damaged` as `read_manifest` does."""
    where = plain_text(str(path))
    try:
        with path.open("rb") as file:
            data = file.read(_LARGEST + 1)
    except OSError:
        raise InputRefused(
            "the manifest cannot be read", where=where, remedy="See whether the file is there."
        ) from None
    if len(data) > _LARGEST:
        raise Damaged("the manifest is far too large", where=where, remedy=_REMEDY)
    return data


def manifest_of(data: bytes, where: str = "") -> dict[str, Json]:
    """The manifest that these bytes are, exactly as `manifest_bytes` writes it, or `Damaged`."""
    try:
        record = json.loads(data, object_pairs_hook=_no_key_twice)
        right = (
            isinstance(record, dict)
            and record.get("manifest") == FORMAT
            and record.keys() - _OPTIONAL == _KEYS
            and record["checksum"] == checksum_of(record)
            and _written(record) == data
        )
    except (ValueError, RecursionError):
        right = False
    if not right:
        raise Damaged("this is not a whole, unaltered manifest", where=where, remedy=_REMEDY)
    return cast("dict[str, Json]", record)


_REMEDY = "Build the packet again, or restore the manifest from a copy."


def _no_key_twice(pairs: list[tuple[str, Json]]) -> dict[str, Json]:
    record = dict(pairs)
    if len(record) != len(pairs):
        raise ValueError
    return record

"""A grant as text of `grants.toml`: put behind what is there, or marked as withdrawn in its place.

Only lines are added. Whatever a person wrote, comments and order included, stays.
"""

import datetime as dt
import json
from collections.abc import Iterator

from packets.base.errors import UsageError
from packets.recipe.toml_lines import find_key_lines
from packets.signatures.grant import Grant

_PLAIN_KEYS = (
    "id",
    "role",
    "image",
    "image_sha256",
    "drawing_sha256",
    "given_at",
    "how",
    "covers",
    "valid_until",
    "identity_check",
    "recorded_by",
    "document_sha256",
    "consent",
    "withdrawn_at",
    "withdrawn_why",
)
_TABLES = ("figures", "evidence")


def grant_text(grant: Grant) -> str:
    """One `[[grant]]` with its tables; keys that say nothing are left out."""
    values = grant.model_dump(exclude_defaults=True)
    lines = ["[[grant]]", *_pairs(values, _PLAIN_KEYS)]
    for name in _TABLES:
        table = values.get(name)
        if table:
            lines += ["", f"[grant.{name}]", *_pairs(table, tuple(table))]
    return "\n".join(lines) + "\n"


def with_grant(text: str, grant: Grant) -> str:
    """The file with one more grant at its end, in the file's own line endings."""
    ending = _ending(text)
    before = text if not text or text.endswith("\n") else text + ending
    gap = ending if before else ""
    return before + gap + grant_text(grant).replace("\n", ending)


def with_withdrawal(text: str, index: int, at: dt.datetime, why: str) -> str:
    """The file with grant `index` (from 0) marked as withdrawn, below its heading.

    Raises UsageError where the grant does not stand under a `[[grant]]` heading of its own.
    """
    lines = text.split("\n")
    number = find_key_lines(text).lines.get(("grant", index), 0)
    if not number or not lines[number - 1].lstrip().startswith("[["):
        raise UsageError(
            "this grant does not stand under a [[grant]] heading of its own",
            where="grants.toml",
            remedy="Write withdrawn_at and withdrawn_why into it by hand.",
        )
    carriage = _ending(text)[:-1]
    said = {"withdrawn_at": at, "withdrawn_why": why}
    lines[number:number] = [pair + carriage for pair in _pairs(said, tuple(said))]
    return "\n".join(lines)


def _ending(text: str) -> str:
    return "\r\n" if "\r\n" in text else "\n"


def _pairs(values: dict[str, object], keys: tuple[str, ...]) -> Iterator[str]:
    for key in keys:
        if values.get(key) is not None:
            yield f"{key} = {_value(values[key])}"


def _value(value: object) -> str:
    match value:
        case bool():
            return "true" if value else "false"
        case int():
            return str(value)
        case dt.datetime():
            return value.isoformat(timespec="seconds")
        case dt.date():
            return value.isoformat()
        case tuple() | list():
            return "[" + ", ".join(_value(entry) for entry in value) + "]"
        case _:
            # What JSON escapes in a string, TOML reads the same way (toml.io 1.0, String).
            return json.dumps(str(value), ensure_ascii=False).replace("\x7f", "\\u007f")

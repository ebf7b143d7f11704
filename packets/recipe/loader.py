"""Reading a TOML file that a person wrote, with every fault named at once.

A fault says where (line and key), what is wrong, what is allowed and which
right word is nearest. It never repeats a value: recipe, engagement, identifiers
and grants files all come through here, and one of them holds taxpayer numbers.
"""

import re
import tomllib
from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any, TypeVar

from pydantic import ValidationError

from packets.base.errors import Fault, FileFaults
from packets.recipe.key_faults import KeyFault, dotted, line_of
from packets.recipe.model import Table
from packets.recipe.plain_words import in_plain_words
from packets.recipe.text_file import read_small_file, shown_path, text_of
from packets.recipe.toml_lines import KeyLines, find_key_lines
from packets.recipe.toml_types import wrong_types

T = TypeVar("T", bound=Table)
TomlTable = Mapping[str, Any]
CrossCheck = Callable[[TomlTable], Iterable[KeyFault]]
"""Finds faults between keys. It gets the file as parsed, before anything is known to be
right, so that its faults can be named together with all the others."""

_DEEP_KEY = re.compile(r"""(?<![\w-])(?>(?:[\w-]++|"[^"\n]*+"|'[^'\n]*+')[ \t]*+\.[ \t]*+){16}""")
"""The standard parser takes time with the square of a key's depth: minutes for one line."""
_PLACE = re.compile(r"\(at line (\d+), column (\d+)\)")
_SYNTAX = (
    # What the standard parser says, and what we say for it.
    ("Unterminated string", "a text has no closing quotation mark"),
    ("Expected '='", "a key needs = and a value after it"),
    ("Invalid statement", "this is neither a key, a heading in brackets, nor a # comment"),
    ("Invalid initial character", "this is not a key; unusual keys need quotation marks"),
    ("Invalid value", "the value is missing, or text without quotation marks"),
    ("Invalid hex", "a \\\\ code in a text is not complete"),
    ("Escaped character", "a \\\\ code in a text means no character"),
    ("Expected newline", "there is something left after the value; one key on each line"),
    ("Expected ']", "a heading has no closing bracket"),
    ("Unclosed array", "a list has no closing bracket or lacks a comma"),
    ("Unclosed inline table", "a table in braces is not closed"),
    ("Invalid date", "there is no such date or time"),
    ("Unescaped '\\'", "write \\\\ for a backslash, or use single quotation marks"),
    ("Found invalid character", "a character is not allowed here, or a quotation mark is missing"),
    ("Illegal character", "a character is not allowed here, or a quotation mark is missing"),
    ("Cannot", "this is written twice"),
    ("Duplicate", "this is written twice"),
)


def load_file(path: Path, model: type[T], check: CrossCheck | None = None) -> T:
    """Read the TOML file at `path` as `model`.

    `check` may add faults between keys. Raises `FileFaults` with every fault of
    the file, in the order of its lines.
    """
    return load_bytes(read_small_file(path), path, model, check)


def load_bytes(data: bytes, file: Path | str, model: type[T], check: CrossCheck | None = None) -> T:
    """The same for bytes that were read already; `file` is only named in messages."""
    text = text_of(data, file)
    table, faults = _parsed(text)
    loaded = None
    if table is not None:
        loaded, key_faults = _judged(table, model, check)
        if key_faults:
            faults = _in_line_order(key_faults, find_key_lines(text))
    # Raised here, outside any handler: pydantic's own error holds values of the file.
    if loaded is None or faults:
        raise FileFaults(shown_path(file), faults)
    return loaded


def _judged(
    table: dict[str, Any], model: type[T], check: CrossCheck | None
) -> tuple[T | None, list[KeyFault]]:
    """The model and no faults, or all faults of types, keys, values and cross-checks."""
    faults = list(wrong_types(model, table))
    loaded = None
    try:
        loaded = model.model_validate(table, by_alias=True, by_name=False)
    except ValidationError as error:
        faults += _not_below(in_plain_words(error, model), faults)
    if check is not None:
        named = {fault.at for fault in faults}
        faults += [fault for fault in check(table) if fault.at not in named]
    return loaded, faults


def _not_below(more: Iterable[KeyFault], known: list[KeyFault]) -> list[KeyFault]:
    """Those of `more` that are not at or inside a place already named: one cause, one fault."""
    named = {fault.at for fault in known}
    return [
        fault
        for fault in more
        if not any(fault.at[:length] in named for length in range(1, len(fault.at) + 1))
    ]


def _in_line_order(faults: Iterable[KeyFault], places: KeyLines) -> tuple[Fault, ...]:
    ordered = sorted(
        faults, key=lambda fault: (line_of(fault.at, places.lines), dotted(fault.at), fault.what)
    )
    return tuple(fault.placed(places.lines) for fault in ordered)


def _parsed(text: str) -> tuple[dict[str, Any] | None, tuple[Fault, ...]]:
    """The file as plain values, or the faults of its syntax."""
    deep = _DEEP_KEY.search(text)
    if deep is not None:
        line = text.count("\n", 0, deep.start()) + 1
        return None, (Fault(where=f"line {line}", what="a key has too many dots in a row"),)
    try:
        return tomllib.loads(text), ()
    except tomllib.TOMLDecodeError as error:
        message = str(error)
    except RecursionError:
        return None, (Fault(where="the file", what="lists or tables are nested too deeply"),)
    except ValueError:
        # Python refuses to read an integer of thousands of digits.
        return None, (Fault(where="the file", what="a number has too many digits"),)
    return None, tuple(_syntax_faults(message, text))


def _syntax_faults(message: str, text: str) -> Iterator[Fault]:
    what = next((ours for theirs, ours in _SYNTAX if message.startswith(theirs)), None)
    if what == "this is written twice":
        repeated = find_key_lines(text).repeated
        for again in repeated:
            where = f"line {again.again}, {dotted(again.path)}"
            yield Fault(where, f"{what}; the first is on line {again.first}")
        if repeated:
            return
    place = _PLACE.search(message)
    where = f"line {place.group(1)}, column {place.group(2)}" if place else "the end of the file"
    yield Fault(where, what or "this is not TOML as it must be written")

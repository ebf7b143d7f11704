"""Whether each value has the TOML type its key asks for.

pydantic would turn "2026-03-03" into a date, 1 into true and "6" into 6. In a
file that decides what leaves an office, a value is what it is written as.
"""

import datetime as dt
import types
from collections.abc import Iterator
from typing import Any, Union, get_args, get_origin

from packets.recipe.key_faults import KeyFault, KeyPath, dotted, word_list
from packets.recipe.shapes import LIST_SHAPES, as_table, bare, choices, entry_shape, known_keys

_IN_WORDS: dict[type, str] = {
    str: 'text in quotation marks, such as "words"',
    int: "a whole number without quotation marks",
    float: "a number without quotation marks",
    bool: "true or false, without quotation marks",
    dt.date: "a date without quotation marks, such as 2026-03-03",
    dt.datetime: "a date and time without quotation marks, such as 2026-03-03T17:00:00Z",
    dt.time: "a time without quotation marks, such as 17:00:00",
}


def wrong_types(shape: Any, value: Any, at: KeyPath = ()) -> Iterator[KeyFault]:
    """Every place below `at` whose value has another TOML type than `shape` asks for."""
    found = bare(shape)
    table = as_table(found)
    if table is not None:
        yield from _in_table(known_keys(table), value, at)
    elif get_origin(found) in LIST_SHAPES:
        yield from _in_list(found, value, at)
    elif choices(found):
        yield from _in_choices(choices(found), value, at)
    elif get_origin(found) in (Union, types.UnionType):
        yield from _in_union(get_args(found), value, at)
    elif found in _IN_WORDS and not _is_exactly(found, value):
        yield KeyFault(at, f"this must be {_IN_WORDS[found]}")


def _is_exactly(kind: type, value: Any) -> bool:
    # bool is an int to Python and a datetime is a date; neither is, to a person.
    return type(value) is kind or (kind is float and type(value) is int)


def _in_table(keys: dict[str, Any], value: Any, at: KeyPath) -> Iterator[KeyFault]:
    if not isinstance(value, dict):
        name = dotted(at[-1:]) if at else "file"
        what = "this must be a table, not a single value"
        if isinstance(value, list) and value and isinstance(value[0], dict):
            what = f"this table may stand only once: write [{name}], with single brackets"
        yield KeyFault(at, what)
        return
    for key, field in keys.items():
        if key in value:
            yield from wrong_types(field.annotation, value[key], (*at, key))


def _in_list(shape: Any, value: Any, at: KeyPath) -> Iterator[KeyFault]:
    if not isinstance(value, list):
        what = "this must be a list in square brackets, even for a single entry"
        if isinstance(value, dict):
            what = f"this table may stand many times: write [[{dotted(at[-1:])}]], double brackets"
        yield KeyFault(at, what)
        return
    for position, entry in enumerate(value):
        inner = entry_shape(shape, position)
        if inner is not None:
            yield from wrong_types(inner, entry, (*at, position))


def _in_choices(allowed: tuple[Any, ...], value: Any, at: KeyPath) -> Iterator[KeyFault]:
    kinds = {type(choice) for choice in allowed}
    if type(value) not in kinds:
        kind = _IN_WORDS.get(next(iter(kinds)), "one of the allowed values")
        yield KeyFault(at, f"this must be {kind}", word_list(str(choice) for choice in allowed))


def _in_union(members: tuple[Any, ...], value: Any, at: KeyPath) -> Iterator[KeyFault]:
    """A value that no member of the union takes gets the complaint of the first."""
    complaints = [list(wrong_types(member, value, at)) for member in members]
    if all(complaints):
        yield from complaints[0]

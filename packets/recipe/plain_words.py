"""What pydantic found, in words for a person who fills in a file."""

from collections.abc import Callable, Iterator
from typing import Any, get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails
from pydantic_core.core_schema import ErrorType

from packets.recipe.key_faults import KeyFault, KeyPath, digit_count, nearest_word, word_list
from packets.recipe.shapes import as_table, choices, is_secret, known_keys, shape_at

PATTERNS_IN_WORDS = {
    r"^[a-z0-9*][a-z0-9*-]*$": (
        "a category in small letters, digits and hyphens; * stands for any rest"
    ),
    r"^[a-z0-9][a-z0-9-]*$": "small letters, digits and hyphens, beginning with a letter or digit",
    r"^[A-Za-z0-9][A-Za-z0-9._-]*$": (
        "letters, digits, dots, hyphens and underscores, beginning with a letter or digit"
    ),
    r"^[0-9a-f]{64}$": "the SHA-256 of the file, 64 small hexadecimal digits",
}
"""Every pattern that a table of ours uses. A test holds this to the models."""

_GENERIC = "this value cannot stand here"
_OF_PYDANTIC = frozenset(get_args(ErrorType))
_OF_VALIDATORS = frozenset({"value_error", "assertion_error"})
_MANY_DIGITS = 4


def in_plain_words(error: ValidationError, model: type[BaseModel]) -> Iterator[KeyFault]:
    """One `KeyFault` for each thing pydantic found; none repeats a value of the file."""
    for details in error.errors(include_url=False):
        at: KeyPath = details["loc"]
        kind = details["type"]
        if kind == "too_short" and len(details["input"]) >= details["ctx"]["min_length"]:
            continue  # the list is long enough; its entries are faulty, and named themselves
        if kind == "default_factory_not_called":
            continue  # a default that waits for another key, whose fault is named itself
        if kind == "extra_forbidden":
            yield _unknown_key(at, model)
        elif kind in ("enum", "literal_error"):
            yield _wrong_word(at, details["input"], model)
        elif kind in _OF_VALIDATORS or kind not in _OF_PYDANTIC:
            yield KeyFault(at, _from_validator(details))
        else:
            what, allowed = _SENTENCES.get(kind, _unforeseen)(details.get("ctx", {}))
            yield KeyFault(at, what, allowed)


def _unknown_key(at: KeyPath, model: type[BaseModel]) -> KeyFault:
    key = str(at[-1])
    table = as_table(shape_at(model, at[:-1]))
    keys = known_keys(table) if table is not None else {}
    if len(at) > 1 and key in known_keys(model):
        what = "this key belongs at the top of the file, before the first heading in brackets"
        return KeyFault(at, what, word_list(keys))
    return KeyFault(at, "there is no such key here", word_list(keys), nearest_word(key, keys))


def _wrong_word(at: KeyPath, value: Any, model: type[BaseModel]) -> KeyFault:
    allowed = tuple(str(choice) for choice in choices(shape_at(model, at)))
    shown = isinstance(value, str) and digit_count(value) < _MANY_DIGITS
    near = nearest_word(value, allowed) if shown and not is_secret(model, at) else ""
    return KeyFault(at, "this is none of the allowed values", word_list(allowed), near)


def _from_validator(details: ErrorDetails) -> str:
    """The message of one of our own validators, unless it repeats what stands in the file."""
    cause = details.get("ctx", {}).get("error")
    message = str(cause) if isinstance(cause, Exception) else details["msg"]
    return _GENERIC if _repeats(message, details["input"]) else message


def _repeats(message: str, value: Any) -> bool:
    """Whether a message holds the value, or any four digits in a row that the value holds."""
    if isinstance(value, dict):
        return any(_repeats(message, inner) for inner in value.values())
    if isinstance(value, (list, tuple)):
        return any(_repeats(message, inner) for inner in value)
    text = str(value)
    digits = "".join(mark for mark in text if mark.isdigit())
    said = "".join(mark for mark in message if mark.isdigit())
    runs = (digits[start : start + _MANY_DIGITS] for start in range(len(digits) - 3))
    return (len(text) > 2 and text in message) or any(run in said for run in runs)


_Sentence = Callable[[dict[str, Any]], tuple[str, str]]


def _unforeseen(_context: dict[str, Any]) -> tuple[str, str]:
    return _GENERIC, ""


def _said(what: str) -> _Sentence:
    return lambda _context: (what, "")


def _bound(what: str, key: str, before: str, after: str = "") -> _Sentence:
    return lambda context: (what, f"{before} {context.get(key)}{after}".strip())


def _pattern(context: dict[str, Any]) -> tuple[str, str]:
    pattern = str(context.get("pattern"))
    return "this is not written the way it must be", PATTERNS_IN_WORDS.get(
        pattern, f"text that fits the pattern {pattern}"
    )


_SENTENCES: dict[str, _Sentence] = {
    "missing": _said("this key is missing"),
    "string_too_short": _bound("this text is too short", "min_length", "at least", " character(s)"),
    "string_too_long": _bound("this text is too long", "max_length", "up to", " characters"),
    "string_pattern_mismatch": _pattern,
    "too_short": _bound("this list has too few entries", "min_length", "at least"),
    "too_long": _bound("this list has too many entries", "max_length", "up to"),
    "greater_than_equal": _bound("this number is too small", "ge", "", " or more"),
    "greater_than": _bound("this number is too small", "gt", "more than"),
    "less_than_equal": _bound("this number is too large", "le", "", " or less"),
    "less_than": _bound("this number is too large", "lt", "less than"),
    "int_from_float": _said("this must be a whole number"),
    "finite_number": _said("this must be an ordinary number"),
    "string_unicode": _said("this text holds characters that are not text"),
    "model_type": _said("this must be a table"),
    "dict_type": _said("this must be a table"),
}

"""PDF objects as plain Python values (ISO 32000-2, 7.3)."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple, TypeAlias


class Name(str):
    """A name without its slash, `#xx` resolved, one character for each byte."""

    __slots__ = ()


class Ref(NamedTuple):
    """An indirect reference `number generation R`."""

    number: int
    generation: int


Value: TypeAlias = "Name | bytes | Ref | int | float | bool | list[Value] | dict[str, Value] | None"
"""Strings are `bytes`; dictionaries keep the last of two equal keys."""


def dictionaries_in(value: Value) -> Iterator[dict[str, Value]]:
    """Every dictionary inside a value, itself included; references are not followed."""
    waiting: list[Value] = [value]
    while waiting:
        inner = waiting.pop()
        if isinstance(inner, list):
            waiting += inner
        elif isinstance(inner, dict):
            waiting += inner.values()
            yield inner


_HIGHEST = 99_999
"""Few files hold more objects; a higher number may be a taxpayer's without its first zeros."""


def place_of(number: int, generation: int) -> str:
    """An object in words that never show a taxpayer number."""
    if number > _HIGHEST:
        return "an object of a very high number"
    return f"object {number} {generation}"


@dataclass(frozen=True)
class FileObject:
    """One indirect object as it lies in the file, or inside an object stream."""

    number: int
    generation: int
    value: Value
    raw: bytes | None = None
    """The stream's bytes as they lie in the file; None where the object is no stream."""
    inside: int = 0
    """Number of the object stream that holds it; 0 for an object of its own."""
    spare: tuple[Value, ...] = ()
    """Values that a later equal key in the same dictionary hides from other readers."""

    @property
    def place(self) -> str:
        """The object in words."""
        return place_of(self.number, self.generation)

    @property
    def entries(self) -> dict[str, Value]:
        """The dictionary, or an empty one."""
        return self.value if isinstance(self.value, dict) else {}

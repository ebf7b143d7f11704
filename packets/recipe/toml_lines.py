"""On which line of a TOML file each key and each list entry stands.

The standard parser gives values without places, so this reads the text once
more for the places alone. It follows TOML 1.0 (toml.io/en/v1.0.0) and trusts
that the standard parser has judged the syntax.
"""

import contextlib
import re
import tomllib
from bisect import bisect_right
from dataclasses import dataclass, field

from packets.recipe.key_faults import KeyPath

_BLANK = re.compile(r"(?:[ \t\n]|#[^\n]*)*")
_SPACES = re.compile(r"[ \t]*")
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_PLAIN_VALUE = re.compile(r"[^,\]}\n#]*")
_STRINGS = (
    # A multi-line string may end in up to two quotation marks of its own.
    re.compile(r'"""(?:\\.|[^\\])*?"{3,5}(?!")', re.DOTALL),
    re.compile(r"'''.*?'{3,5}(?!')", re.DOTALL),
    re.compile(r'"(?:\\.|[^"\\\n])*"'),
    re.compile(r"'[^'\n]*'"),
)


@dataclass(frozen=True)
class Repeated:
    """A key or table that is written twice."""

    path: KeyPath
    first: int
    again: int


@dataclass
class KeyLines:
    """Lines by key path, and what was written twice."""

    lines: dict[KeyPath, int] = field(default_factory=dict)
    repeated: list[Repeated] = field(default_factory=list)


class _LostError(Exception):
    """The text is not what a valid file would have here."""


def find_key_lines(text: str) -> KeyLines:
    """Read the places of all keys; in a broken file, those before the break.

    Lines count from 1. The first place of a key wins in `lines`.
    """
    reader = _PlaceReader(text.replace("\r\n", "\n"))
    # The standard parser names a break; what was seen before it is still true.
    with contextlib.suppress(_LostError):
        reader.read_file()
    return reader.found


class _PlaceReader:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.breaks = [place for place, mark in enumerate(text) if mark == "\n"]
        self.found = KeyLines()
        self.last_entry: dict[KeyPath, int] = {}
        """For each array of tables, the position of its latest entry."""
        self.headers: set[KeyPath] = set()

    def read_file(self) -> None:
        """Read headers and key lines to the end of the text."""
        table: KeyPath = ()
        self._skip(_BLANK)
        while self.at < len(self.text):
            if self.text.startswith("[[", self.at):
                table = self._array_header()
            elif self._here() == "[":
                table = self._table_header()
            else:
                self._pair(table)
            self._skip(_BLANK)

    def _here(self) -> str:
        return self.text[self.at : self.at + 1]

    def _skip(self, pattern: re.Pattern[str]) -> str:
        match = pattern.match(self.text, self.at)
        if match is None:
            raise _LostError
        self.at = match.end()
        return match.group()

    def _expect(self, mark: str) -> None:
        if not self.text.startswith(mark, self.at):
            raise _LostError
        self.at += len(mark)

    def _line(self) -> int:
        return bisect_right(self.breaks, self.at - 1) + 1

    def _array_header(self) -> KeyPath:
        line = self._line()
        self._expect("[[")
        keys = self._key()
        self._expect("]]")
        array = (*self._resolve(keys[:-1], line), keys[-1])
        self.found.lines.setdefault(array, line)
        self.last_entry[array] = self.last_entry.get(array, -1) + 1
        entry = (*array, self.last_entry[array])
        self.found.lines.setdefault(entry, line)
        return entry

    def _table_header(self) -> KeyPath:
        line = self._line()
        self._expect("[")
        keys = self._key()
        self._expect("]")
        path = self._resolve(keys, line)
        if path in self.headers:
            self.found.repeated.append(Repeated(path, self.found.lines[path], line))
        self.headers.add(path)
        return path

    def _resolve(self, keys: tuple[str, ...], line: int) -> KeyPath:
        """The full path of a header: inside an array of tables it means the latest entry."""
        path: KeyPath = ()
        for key in keys:
            path = (*path, key)
            self.found.lines.setdefault(path, line)
            if path in self.last_entry:
                path = (*path, self.last_entry[path])
        return path

    def _pair(self, table: KeyPath) -> None:
        line = self._line()
        keys = self._key()
        self._expect("=")
        self._skip(_SPACES)
        path = table
        for key in keys[:-1]:
            path = (*path, key)
            self.found.lines.setdefault(path, line)
        path = (*path, keys[-1])
        if path in self.found.lines:
            self.found.repeated.append(Repeated(path, self.found.lines[path], line))
        self.found.lines.setdefault(path, line)
        self._value(path)

    def _key(self) -> tuple[str, ...]:
        """A dotted key with the white space around it."""
        keys: list[str] = []
        while True:
            self._skip(_SPACES)
            raw = self._string() if self._here() in ('"', "'") else self._skip(_BARE)
            keys.append(_unquoted(raw))
            self._skip(_SPACES)
            if self._here() != ".":
                return tuple(keys)
            self.at += 1

    def _string(self) -> str:
        for pattern in _STRINGS:
            match = pattern.match(self.text, self.at)
            if match is not None:
                self.at = match.end()
                return match.group()
        raise _LostError

    def _value(self, path: KeyPath) -> None:
        here = self._here()
        if here in ('"', "'"):
            self._string()
        elif here == "[":
            self._array(path)
        elif here == "{":
            self._inline_table(path)
        else:
            self._skip(_PLAIN_VALUE)

    def _array(self, path: KeyPath) -> None:
        self._expect("[")
        position = 0
        self._skip(_BLANK)
        while self._here() != "]":
            entry = (*path, position)
            self.found.lines.setdefault(entry, self._line())
            self._value(entry)
            position += 1
            self._skip(_BLANK)
            if self._here() != "]":
                self._expect(",")
            self._skip(_BLANK)
        self._expect("]")

    def _inline_table(self, path: KeyPath) -> None:
        self._expect("{")
        self._skip(_SPACES)
        while self._here() != "}":
            self._pair(path)
            self._skip(_SPACES)
            if self._here() != "}":
                self._expect(",")
            self._skip(_SPACES)
        self._expect("}")


def _unquoted(raw: str) -> str:
    if raw[0] not in ('"', "'"):
        return raw
    try:
        return str(tomllib.loads(f"key = {raw}")["key"])
    except tomllib.TOMLDecodeError:
        raise _LostError from None

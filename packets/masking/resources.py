"""A resource dictionary of a page or form that is copied before its first change."""

import pikepdf
from pikepdf import Dictionary, Name


class Resources:
    """A resource dictionary that is copied before its first change."""

    def __init__(self, original: pikepdf.Object) -> None:
        self.result = original
        self._copied: set[str] = set()
        self._added: dict[tuple[int, int], Name] = {}
        self._numbers: dict[str, int] = {}

    def find(self, kind: str, name: object) -> pikepdf.Object | None:
        entries = self.result.get(kind) if isinstance(self.result, Dictionary) else None
        if name is None or not isinstance(entries, Dictionary):
            return None
        return entries.get(str(name))

    def add(self, kind: str, value: pikepdf.Object) -> Name:
        """Put an object under a new name; the same indirect object gets the same name."""
        if value.objgen in self._added:
            return self._added[value.objgen]
        if not self._copied:
            known = dict(self.result.items()) if isinstance(self.result, Dictionary) else {}
            self.result = Dictionary(known)
        if kind not in self._copied:
            entries = self.result.get(kind)
            known = dict(entries.items()) if isinstance(entries, Dictionary) else {}
            self.result[kind] = Dictionary(known)
            self._copied.add(kind)
        number = self._numbers.get(kind, 1)
        while f"/Pk{number}" in self.result[kind]:
            number += 1
        self._numbers[kind] = number + 1
        name = Name(f"/Pk{number}")
        self.result[kind][name] = value
        if value.is_indirect:
            self._added[value.objgen] = name
        return name


def same_object(one: pikepdf.Object | None, other: pikepdf.Object | None) -> bool:
    """Whether both are the same indirect object, or equal direct ones."""
    if one is None or other is None:
        return False
    if one.is_indirect or other.is_indirect:
        return one.objgen == other.objgen
    return bool(one == other)

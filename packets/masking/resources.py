"""A resource dictionary of a page or form that is copied before its first change."""

import pikepdf
from pikepdf import Dictionary, Name


class Resources:
    """A resource dictionary that is copied before its first change."""

    def __init__(self, original: pikepdf.Object) -> None:
        self.result = original
        self._copied: set[str] = set()
        self._added: dict[tuple[int, int], Name] = {}

    def find(self, kind: str, name: object) -> pikepdf.Object | None:
        entries = self.result.get(kind) if isinstance(self.result, Dictionary) else None
        if name is None or not isinstance(entries, Dictionary):
            return None
        return entries.get(str(name))

    def add(self, kind: str, value: pikepdf.Object) -> Name:
        """Put an object under a new name; the same object gets the same name."""
        if value.objgen in self._added:
            return self._added[value.objgen]
        if not self._copied:
            self.result = Dictionary(dict(self.result.items()) if self.result else {})
        if kind not in self._copied:
            entries = self.result.get(kind)
            self.result[kind] = Dictionary(dict(entries.items()) if entries is not None else {})
            self._copied.add(kind)
        number = 1
        while f"/Pk{number}" in self.result[kind]:
            number += 1
        name = Name(f"/Pk{number}")
        self.result[kind][name] = value
        self._added[value.objgen] = name
        return name

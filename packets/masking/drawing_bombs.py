"""Documents that draw a little very often: forms that draw forms that draw forms.

A handful of forms, each drawing the next twice, asks a reader for millions of
drawings. They are counted before any reader sets out on them.
"""

import io
import re
from collections.abc import Iterator

import pikepdf
from pikepdf import Array, Dictionary, Stream

from packets.base.errors import OverLimit
from packets.base.limits import DEFAULT_LIMITS

MOST_DRAWINGS = 20_000
"""So many forms, patterns and soft masks a page may draw, each as often as it is drawn."""
_KINDS = ("/XObject", "/Pattern", "/ExtGState")
_USED = re.compile(rb"/([^\s\[\]<>(){}/%]+)\s+(?:Do|scn|SCN|gs)(?![A-Za-z])")


def refuse_drawing_bombs(pdf: bytes) -> None:
    """Raise `OverLimit` for a page that draws too much, or too deep inside one another."""
    with pikepdf.open(io.BytesIO(pdf)) as document:
        counting = _Counting()
        for page in document.pages:
            resources = page.get("/Resources")
            if not _names_drawings(resources):
                continue
            content = b"\n".join(_data(part) for part in _parts(page.obj))
            if counting.drawn_by(content, resources, 0) > MOST_DRAWINGS:
                raise OverLimit("a page draws too many forms inside one another")


class _Counting:
    """Remembers how much each drawing draws; one inside itself draws nothing more."""

    def __init__(self) -> None:
        self._known: dict[tuple[int, int], int] = {}

    def drawn_by(self, content: bytes, resources: object, depth: int) -> int:
        if depth > DEFAULT_LIMITS.nesting:
            raise OverLimit("forms are nested too deeply inside one another")
        total = 0
        for name in _USED.findall(content):
            for drawing in _drawings(resources, "/" + name.decode("latin-1")):
                total += 1 + self._inside(drawing, resources, depth)
                if total > MOST_DRAWINGS:
                    return total
        return total

    def _inside(self, drawing: Stream, borrowed: object, depth: int) -> int:
        key = drawing.objgen
        if key not in self._known:
            self._known[key] = 0
            resources = drawing.get("/Resources", borrowed)
            self._known[key] = self.drawn_by(_data(drawing), resources, depth + 1)
        return self._known[key]


def _names_drawings(resources: object) -> bool:
    """Whether any name in these resources stands for a drawing."""
    return any(
        _drawing(kind, thing) is not None
        for kind, entries in _entries(resources)
        for thing in entries.values()
    )


def _drawings(resources: object, name: str) -> list[Stream]:
    named = (_drawing(kind, entries.get(name)) for kind, entries in _entries(resources))
    return [drawing for drawing in named if drawing is not None]


def _entries(resources: object) -> Iterator[tuple[str, Dictionary]]:
    """What resources name, for each kind among which drawings can be."""
    if not isinstance(resources, Dictionary):
        return
    for kind in _KINDS:
        entries = resources.get(kind)
        if isinstance(entries, Dictionary):
            yield kind, entries


def _drawing(kind: str, thing: object) -> Stream | None:
    """The form, the pattern or the soft mask's group that a resource is; None for anything else."""
    if kind == "/ExtGState" and isinstance(thing, Dictionary):
        soft = thing.get("/SMask")
        thing = soft.get("/G") if isinstance(soft, Dictionary) else None
    return thing if isinstance(thing, Stream) and "/Width" not in thing else None


def _parts(page: pikepdf.Object) -> list[pikepdf.Object | None]:
    contents = page.get("/Contents")
    return list(contents) if isinstance(contents, Array) else [contents]


def _data(stream: object) -> bytes:
    """Decoded content; nothing where it cannot be decoded, which the rebuild will refuse."""
    try:
        return bytes(stream.read_bytes()) if isinstance(stream, Stream) else b""
    except pikepdf.PdfError:
        return b""

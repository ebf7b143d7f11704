"""Which fields of a document bear a cryptographic signature (ISO 32000-2, 12.8)."""

from collections.abc import Iterator
from dataclasses import dataclass

import pikepdf
from pikepdf import Array, Dictionary, Name, Object, String

_DEEPEST = 50
_MOST = 200
"""Fields with a signature that are told; a document with more is no form."""


@dataclass(frozen=True)
class SignedField:
    """A signature field with a value, and what its dictionary claims."""

    name: str
    """Full name: the names of the field and of those above it, joined by dots."""
    claimed_name: str
    claimed_time: str
    """As PDF writes dates (7.9.4), or empty."""


def signed_fields(pdf: pikepdf.Pdf) -> tuple[SignedField, ...]:
    """The signed fields of the field tree and of the pages, each once, by name."""
    found: dict[str, SignedField] = {}
    for field in _fields(pdf):
        value = _inherited(field, "/V")
        if _inherited(field, "/FT") != Name.Sig or not isinstance(value, Dictionary):
            continue
        if "/Contents" in value and "/ByteRange" in value:
            name = _full_name(field)
            found.setdefault(
                name, SignedField(name, _text(value.get("/Name")), _text(value.get("/M")))
            )
            if len(found) >= _MOST:
                break
    return tuple(found.values())


def _fields(pdf: pikepdf.Pdf) -> Iterator[Object]:
    form = pdf.Root.get("/AcroForm")
    waiting: list[tuple[Object, int]] = []
    if isinstance(form, Dictionary):
        waiting = [(field, 0) for field in _items(form.get("/Fields"))]
    seen: set[tuple[int, int]] = set()
    while waiting:
        field, depth = waiting.pop()
        if not isinstance(field, Dictionary) or (field.is_indirect and field.objgen in seen):
            continue
        seen.add(field.objgen)
        yield field
        if depth < _DEEPEST:
            waiting += [(kid, depth + 1) for kid in _items(field.get("/Kids"))]
    for page in pdf.pages:
        for annotation in _items(page.obj.get("/Annots")):
            if isinstance(annotation, Dictionary) and annotation.get("/Subtype") == Name.Widget:
                yield annotation


def _items(value: object) -> list[Object]:
    return list(value) if isinstance(value, Array) else []


def _upward(field: Object) -> Iterator[Object]:
    node: object = field
    for _ in range(_DEEPEST):
        if not isinstance(node, Dictionary):
            return
        yield node
        node = node.get("/Parent")


def _inherited(field: Object, key: str) -> object:
    return next((node.get(key) for node in _upward(field) if key in node), None)


def _full_name(field: Object) -> str:
    names = [_text(node.get("/T")) for node in _upward(field) if "/T" in node]
    return ".".join(reversed(names))


def _text(value: object) -> str:
    return str(value) if isinstance(value, String) else ""

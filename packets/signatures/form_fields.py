"""Form fields as their widgets show them on pages (ISO 32000-2, 12.7 and 12.5.6.19).

Everything read here may be mistyped or circular; what is not of the right type
counts as absent.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, field

import pikepdf
from pikepdf import Array, Dictionary, Name, Object, String

from packets.base.limits import DEFAULT_LIMITS

HIDDEN, PRINT, NO_VIEW = 1 << 1, 1 << 2, 1 << 5
"""Annotation flags (12.5.3)."""
COMB = 1 << 24
"""Text field flag (12.7.5.3)."""


@dataclass(frozen=True)
class Widget:
    """One widget with what it inherits from its field."""

    page: int
    """From 1."""
    annotation: Object = field(repr=False)
    name: str
    """Full name: the names of the field and of those above it, joined by dots."""
    kind: str
    """`Tx`, `Sig`, `Btn`, `Ch` or empty."""
    value: Object | None = field(repr=False)
    flags: int
    default_appearance: str
    quadding: int
    most_characters: int
    rect: tuple[float, float, float, float] | None
    """x0, y0, x1, y1 in default user space; None where there is none to speak of."""
    rotation: int | None
    """/MK /R, degrees counterclockwise; None where the widget does not say."""
    shown: bool
    """Whether it is seen on the printed page."""

    @property
    def last_name(self) -> str:
        """The last part of the full name, dots inside it included."""
        own = own_name(self.annotation)
        return own if own is not None else self.name.rpartition(".")[2]


def widgets_of(document: pikepdf.Pdf) -> Iterator[Widget]:
    """All widgets, page by page in their drawing order."""
    form = dictionary(document.Root.get("/AcroForm"))
    for number, page in enumerate(document.pages, start=1):
        for annotation in array(page.obj.get("/Annots")):
            if isinstance(annotation, Dictionary) and annotation.get("/Subtype") == Name.Widget:
                yield widget_of(annotation, number, form)


def widget_of(annotation: Object, page: int, form: Object | None) -> Widget:
    """One widget annotation with what it inherits; `form` is the /AcroForm dictionary."""
    flags = whole(annotation.get("/F")) or 0
    appearance = inherited(annotation, "/DA")
    quadding = inherited(annotation, "/Q")
    if form is not None:
        appearance = appearance if appearance is not None else form.get("/DA")
        quadding = quadding if quadding is not None else form.get("/Q")
    kind = inherited(annotation, "/FT")
    return Widget(
        page=page,
        annotation=annotation,
        name=full_name(annotation),
        kind=str(kind)[1:] if isinstance(kind, Name) else "",
        value=inherited(annotation, "/V"),
        flags=whole(inherited(annotation, "/Ff")) or 0,
        default_appearance=str(appearance) if isinstance(appearance, String) else "",
        quadding=whole(quadding) or 0,
        most_characters=whole(inherited(annotation, "/MaxLen")) or 0,
        rect=rectangle(annotation.get("/Rect")),
        rotation=_rotation(annotation),
        shown=not flags & HIDDEN and (not flags & NO_VIEW or bool(flags & PRINT)),
    )


def _rotation(annotation: Object) -> int | None:
    look = dictionary(annotation.get("/MK"))
    degrees = whole(look.get("/R")) if look is not None else None
    return None if degrees is None else round(degrees / 90) * 90 % 360


def line_upward(annotation: Object) -> Iterator[Object]:
    """The annotation and the fields above it; stops at a circle or an absurd depth."""
    seen: set[tuple[int, int]] = set()
    node: Object | None = annotation
    for _ in range(DEFAULT_LIMITS.nesting):
        if node is None or (node.is_indirect and node.objgen in seen):
            return
        seen.add(node.objgen)
        yield node
        node = dictionary(node.get("/Parent"))


def inherited(annotation: Object, key: str) -> Object | None:
    """The value of a key in the field or the nearest field above it."""
    for node in line_upward(annotation):
        value = node.get(key)
        if value is not None:
            return value
    return None


def own_name(node: Object) -> str | None:
    """The partial name of a field; UTF-16 and PDFDocEncoding are read as they are marked."""
    name = node.get("/T")
    return str(name) if isinstance(name, String) else None


def full_name(annotation: Object) -> str:
    """The fully qualified name (12.7.4.2)."""
    parts = [name for node in line_upward(annotation) if (name := own_name(node)) is not None]
    return ".".join(reversed(parts))


def text_of(value: Object | None) -> str:
    """A text value; a stream's text too; anything else is empty."""
    if isinstance(value, String):
        return str(value)
    if isinstance(value, pikepdf.Stream):
        return str(String(value.read_bytes()))
    return ""


def dictionary(value: object) -> Object | None:
    """The value where it is a dictionary."""
    return value if isinstance(value, Dictionary) else None


def array(value: object) -> list[Object]:
    """The items where the value is an array, else nothing."""
    return list(value) if isinstance(value, Array) else []


def number(value: object) -> float | None:
    """A finite number, or None."""
    if isinstance(value, bool) or value is None:
        return None
    try:
        plain = float(value)  # type: ignore[arg-type]  # int, Decimal or an object; checked here
    except (TypeError, ValueError, OverflowError, NotImplementedError):
        return None
    return plain if math.isfinite(plain) else None


def whole(value: object) -> int | None:
    """A number as a whole one, or None."""
    plain = number(value)
    return None if plain is None else int(plain)


def rectangle(value: object) -> tuple[float, float, float, float] | None:
    """Four numbers as lower left and upper right corner (7.9.5), or None."""
    plain = [number(item) for item in array(value)]
    if len(plain) != 4:
        return None
    corners = [item for item in plain if item is not None]
    if len(corners) != 4:
        return None
    x0, y0, x1, y1 = corners
    return (min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))


def truth(value: object) -> bool:
    """Whether a value is the boolean true."""
    return value is True

"""Every picture that the resources of a page lead to, drawn where a reader sees it or not.

Pictures inside glyphs of Type 3 fonts, tiling patterns and soft masks, and
those that no operator happens to draw, travel along with the page all the same.
"""

import io
from collections.abc import Iterator

import pikepdf
from pikepdf import Dictionary, Name, Stream

from packets.base.errors import Damaged


def reachable_pictures(pdf: bytes) -> tuple[frozenset[int], ...]:
    """For each page the object numbers of its pictures; soft masks of pictures do not count."""
    try:
        with pikepdf.open(io.BytesIO(pdf)) as document:
            return tuple(_pictures_of(page.get("/Resources")) for page in document.pages)
    except (pikepdf.PdfError, pikepdf.PasswordError) as error:
        raise Damaged("this document cannot be taken apart") from error


def _pictures_of(resources: object) -> frozenset[int]:
    found: set[int] = set()
    seen: set[tuple[int, int]] = set()
    waiting = [resources]
    while waiting:
        for thing in _things(waiting.pop()):
            if not isinstance(thing, Dictionary | Stream) or thing.objgen in seen:
                continue
            if thing.is_indirect:
                seen.add(thing.objgen)
            if isinstance(thing, Stream) and thing.get("/Subtype") == Name.Image:
                found.add(thing.objgen[0])
                continue
            inner = thing.get("/Resources")
            if isinstance(inner, Dictionary) and inner.objgen not in seen:
                if inner.is_indirect:
                    seen.add(inner.objgen)
                waiting.append(inner)
    return frozenset(found)


def _things(resources: object) -> Iterator[object]:
    """What resources name that may draw: forms, pictures, patterns, Type 3 fonts, soft masks."""
    if not isinstance(resources, Dictionary):
        return
    for kind in ("/XObject", "/Pattern", "/Font"):
        entries = resources.get(kind)
        if isinstance(entries, Dictionary):
            yield from (value for _, value in entries.items())
    settings = resources.get("/ExtGState")
    for _, state in settings.items() if isinstance(settings, Dictionary) else ():
        soft = state.get("/SMask") if isinstance(state, Dictionary) else None
        if isinstance(soft, Dictionary):
            yield soft.get("/G")

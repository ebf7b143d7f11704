"""Taking a widget, and a field that has none left, out of a document."""

from itertools import pairwise

import pikepdf
from pikepdf import Array, Object

from packets.signatures.form_fields import array, dictionary, line_upward


def take_out(document: pikepdf.Pdf, page: int, annotation: Object) -> None:
    """Remove a widget from its page and from the field tree, so that it is shown no more."""
    target = document.pages[page - 1].obj
    _without(target, "/Annots", annotation)
    line = list(line_upward(annotation))
    for child, parent in pairwise(line):
        _without(parent, "/Kids", child)
        if array(parent.get("/Kids")):
            return
    form = dictionary(document.Root.get("/AcroForm"))
    if form is not None:
        _without(form, "/Fields", line[-1])


def drop_other_descriptions(document: pikepdf.Pdf) -> None:
    """Remove what no longer fits a changed form: its XFA twin and usage rights over old bytes."""
    form = dictionary(document.Root.get("/AcroForm"))
    if form is not None and "/XFA" in form:
        del form["/XFA"]
    if "/Perms" in document.Root:
        del document.Root["/Perms"]


def _without(holder: Object, key: str, item: Object) -> None:
    items = array(holder.get(key))
    kept = [other for other in items if not _same(other, item)]
    if len(kept) != len(items):
        holder[key] = Array(kept)


def _same(one: Object, other: Object) -> bool:
    if one.is_indirect or other.is_indirect:
        return one.objgen == other.objgen
    return one == other

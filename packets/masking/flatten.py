"""Fields and annotations drawn into the page as they look on paper; then there are none."""

import contextlib
from collections.abc import Iterator
from dataclasses import dataclass

import pikepdf
import pymupdf
from pikepdf import Array, Dictionary, Name, Object

from packets.base.errors import Damaged, InputRefused, OverLimit
from packets.base.limits import DEFAULT_LIMITS
from packets.masking.flatten_fields import FieldPreparation
from packets.masking.flatten_layers import Layers
from packets.masking.inline_pictures import move_inline_pictures
from packets.signatures.form_fields import HIDDEN, PRINT, array, dictionary, truth, whole, widget_of
from packets.signatures.graphics_state import close_off, imbalance
from packets.signatures.opening import opened, saved

NEVER_DRAWN = {"/Link", "/Popup", "/FileAttachment", "/Movie", "/Sound", "/Screen", "/TrapNet"}
"""Annotations that are no part of the printed page, or only a handle on something else."""


@dataclass(frozen=True)
class Flattened:
    """A document without fields, annotations and layers."""

    pdf: bytes
    notes: tuple[str, ...] = ()
    """What a person may want to look at, in sentences; never a value."""


def flatten(pdf: bytes) -> Flattened:
    """Draw every field and annotation into its page as it looks when printed.

    What is hidden or does not print is gone afterwards, and so is the content of
    layers that are off. Where an appearance and a field's value differ, the
    appearance is what stays (ISO 32000-2, 12.5.5), unless the form itself says
    that its appearances are out of date (NeedAppearances, 12.7.3), or shows
    nothing while there is a value: then the value is drawn.

    Inline pictures become ordinary ones. A document without any of this comes
    back as the same bytes. Raises Damaged, Locked or OverLimit, and InputRefused
    for a form whose pages exist only as XFA.
    """
    with opened(pdf) as document:
        if not _has_anything(document):
            return Flattened(saved(document) if move_inline_pictures(document) else pdf)
        preparation = _prepare(document)
        notes = list(preparation.notes())
        prepared = saved(document)
    if preparation.drawn:
        prepared, differing = _baked(prepared, preparation)
        notes += differing
    with opened(prepared) as document:
        _take_the_rest(document)
        move_inline_pictures(document)
        return Flattened(saved(document), tuple(notes))


def _has_anything(document: pikepdf.Pdf) -> bool:
    root = document.Root
    if document.is_encrypted or "/AcroForm" in root or "/OCProperties" in root:
        return True
    return any("/Annots" in page.obj for page in document.pages)


@dataclass
class _Preparation:
    """What was done before drawing."""

    fields: FieldPreparation
    layers: Layers
    drawn: int = 0
    unprinted: int = 0
    attachments: int = 0
    had_xfa: bool = False

    def notes(self) -> Iterator[str]:
        if self.had_xfa:
            yield "An XFA description of the form was removed; its ordinary fields were used."
        if self.unprinted:
            yield f"{self.unprinted} hidden or non-printing annotations were left out."
        if self.attachments:
            yield f"{self.attachments} files attached to a page were left out."
        yield from self.layers.notes
        yield from self.fields.notes()


def _prepare(document: pikepdf.Pdf) -> _Preparation:
    form = dictionary(document.Root.get("/AcroForm"))
    if truth(document.Root.get("/NeedsRendering")):
        raise InputRefused(
            "the pages of this form exist only as XFA, which no page reader shows",
            remedy="Open it in the program that made it, print it to a PDF, and build again.",
        )
    stale = form is not None and truth(form.get("/NeedAppearances"))
    preparation = _Preparation(FieldPreparation(document, stale), Layers.of(document))
    if form is not None:
        preparation.had_xfa = "/XFA" in form
        for key in ("/XFA", "/NeedAppearances"):
            if key in form:
                del form[key]
    preparation.layers.resolve()
    for number, page in enumerate(document.pages, start=1):
        if "/Annots" in page.obj:
            _prepare_page(page, number, form, preparation)
    return preparation


def _prepare_page(
    page: pikepdf.Page, number: int, form: Object | None, preparation: _Preparation
) -> None:
    kept = []
    annotations = array(page.obj["/Annots"])
    if len(annotations) > DEFAULT_LIMITS.annotations:
        raise OverLimit("a page with more annotations than this program promises to draw")
    for annotation in annotations:
        if not isinstance(annotation, Dictionary):
            continue
        subtype = annotation.get("/Subtype")
        if str(subtype) in NEVER_DRAWN:
            preparation.attachments += subtype == Name.FileAttachment
            continue
        if not _prints(annotation) or preparation.layers.hides(annotation.get("/OC")):
            preparation.unprinted += 1
            continue
        if subtype == Name.Widget and not preparation.fields.prepare(
            widget_of(annotation, number, form)
        ):
            continue
        annotation["/F"] = PRINT
        kept.append(annotation)
    if kept:
        page.obj["/Annots"] = Array(kept)
        preparation.drawn += len(kept)
        if imbalance(page) != (0, 0):
            close_off(page)
    else:
        del page.obj["/Annots"]


def _prints(annotation: Object) -> bool:
    """Whether it is seen on paper (12.5.3).

    A field without any /F is taken to print: programs that fill forms often
    leave the key out, and what the form says must not be lost.
    """
    flags = whole(annotation.get("/F"))
    if flags is None:
        return annotation.get("/Subtype") == Name.Widget
    return bool(flags & PRINT) and not flags & HIDDEN


def _baked(pdf: bytes, preparation: _Preparation) -> tuple[bytes, list[str]]:
    """The pages with everything drawn in by MuPDF, and notes on values not to be seen."""
    with _mupdf_document(pdf) as document:
        document.bake(annots=True, widgets=True)
        differing = preparation.fields.differing(document)
        return document.tobytes(no_new_id=True), differing


@contextlib.contextmanager
def _mupdf_document(pdf: bytes) -> Iterator[pymupdf.Document]:
    try:
        with pymupdf.open(stream=pdf, filetype="pdf") as document:
            yield document
    except (pymupdf.mupdf.FzErrorBase, RuntimeError, ValueError) as problem:
        raise Damaged("the fields of this file cannot be drawn") from problem


def _take_the_rest(document: pikepdf.Pdf) -> None:
    """Remove what is left of forms, annotations and layers, and mend MuPDF's tick marks."""
    for key in ("/AcroForm", "/OCProperties", "/Perms", "/NeedsRendering"):
        if key in document.Root:
            del document.Root[key]
    for page in document.pages:
        if "/Annots" in page.obj:
            del page.obj["/Annots"]
    for item in document.objects:
        if isinstance(item, Dictionary):
            _mend_symbol_font(item)
        elif isinstance(item, pikepdf.Stream) and item.get("/Subtype") == Name.Form:
            resources = dictionary(item.get("/Resources"))
            fonts = dictionary(resources.get("/Font")) if resources is not None else None
            for font in dict(fonts.items()).values() if fonts is not None else ():
                if isinstance(font, Dictionary):
                    _mend_symbol_font(font)


def _mend_symbol_font(font: Object) -> None:
    """Symbol fonts have their own encoding; with WinAnsi a tick becomes the digit 3."""
    if font.get("/BaseFont") in (Name.ZapfDingbats, Name.Symbol) and isinstance(
        font.get("/Encoding"), Name
    ):
        del font["/Encoding"]

"""Opening PDF bytes with pikepdf; the one place of this room that sees the engine's errors."""

import contextlib
import io
import warnings
from collections.abc import Iterator

import pikepdf

from packets.base.errors import Damaged, Locked

ENGINE_ERRORS = (
    pikepdf.PdfError,
    # What pikepdf raises where an object is not of the type that its place demands.
    pikepdf.ForeignObjectError,
    AttributeError,
    KeyError,
    TypeError,
    ValueError,
    RuntimeError,
    RecursionError,
)


@contextlib.contextmanager
def opened(pdf: bytes, where: str = "") -> Iterator[pikepdf.Pdf]:
    """The document for the length of a `with` block.

    Raises Locked when it asks for a password, Damaged when it, or a part that
    the block touches, is broken beyond what the engine mends.
    """
    try:
        with pikepdf.open(io.BytesIO(pdf)) as document:
            yield document
    except pikepdf.PasswordError:
        raise Locked("this file asks for a password", where=where) from None
    except ENGINE_ERRORS as problem:
        raise Damaged("this file is broken", where=where) from problem


def saved(document: pikepdf.Pdf) -> bytes:
    """The document as bytes: the same for the same content, no clock, no random identity."""
    out = io.BytesIO()
    with warnings.catch_warnings():
        # Widgets that no field leads to are common in hostile and broken files alike;
        # they are read from the pages here and never from the field tree.
        warnings.simplefilter("ignore", pikepdf.PageCopyWarning)
        document.save(
            out,
            deterministic_id=True,
            object_stream_mode=pikepdf.ObjectStreamMode.generate,
            encryption=False,
        )
    return out.getvalue()

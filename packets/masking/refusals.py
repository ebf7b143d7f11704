"""What the PDF engines raise over a broken document, as one error of ours."""

import contextlib
import struct
import zlib
from collections.abc import Iterator

import pikepdf
import pymupdf

from packets.base.errors import Damaged

_ENGINE_ERRORS = (
    pikepdf.PdfError,
    pikepdf.PasswordError,
    pikepdf.ForeignObjectError,
    pikepdf.DataDecodingError,
    pymupdf.mupdf.FzErrorBase,
    # What both raise where an object is not of the type that its place demands.
    ArithmeticError,
    AttributeError,
    LookupError,
    TypeError,
    ValueError,
    RuntimeError,
    OSError,
    struct.error,
    zlib.error,
)


@contextlib.contextmanager
def broken_documents_refused(what: str) -> Iterator[None]:
    """Turn whatever a broken document makes the engines raise into `Damaged`."""
    try:
        yield
    except _ENGINE_ERRORS as problem:
        raise Damaged(what) from problem

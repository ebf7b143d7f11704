"""Streams that come along: decoded, and without the words in them that hold a number."""

from collections.abc import Iterator

import pikepdf
from pikepdf import Array, Object, Stream

from packets.base.errors import Damaged, OverLimit
from packets.base.limits import DEFAULT_LIMITS
from packets.masking.bare_codestreams import bare_jbig2
from packets.masking.embedded_texts import clean_character_map, without_comments
from packets.masking.program_texts import without_long_numbers


def without_words(value: Stream, role: str) -> bytes | None:
    """Decoded data without the words in it that hold a number; None: it stays as it is.

    Raises Damaged or OverLimit for what cannot be decoded or is too large.
    """
    if role in ("character map", "encoding"):
        return clean_character_map(decoded(value))
    if role == "function" and value.get("/FunctionType") == 4:
        return without_comments(decoded(value))
    if role == "picture globals":
        return bare_jbig2(decoded(value))
    if role in ("font program", "colour profile"):
        data = decoded(value)
        clean = without_long_numbers(data)
        return clean if clean != data else None
    return None


def content_parts(holder: Object) -> Iterator[Stream]:
    """The streams whose content a page or drawing shows, in their order."""
    if isinstance(holder, Stream):
        yield holder
        return
    contents = holder.get("/Contents")
    parts = list(contents) if isinstance(contents, Array) else [contents]
    yield from (part for part in parts if isinstance(part, Stream))


def decoded(stream: Stream) -> bytes:
    """The decoded data. Raises Damaged or OverLimit."""
    try:
        data = stream.read_bytes()
    except (pikepdf.PdfError, pikepdf.DataDecodingError) as error:
        raise Damaged("a drawing in this document cannot be decoded") from error
    if len(data) > DEFAULT_LIMITS.stream_bytes:
        raise OverLimit("a drawing in this document is too large")
    return bytes(data)

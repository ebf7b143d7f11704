"""Which pages make a packet large: the bytes of what each page draws."""

import io
from collections.abc import Iterator

import pikepdf

from packets.base.errors import Damaged, Locked
from packets.base.secret import Secret

_DEEPEST = 20


def page_weights(pdf: bytes, passphrase: Secret | None = None) -> tuple[int, ...]:
    """Bytes of the streams that each page reaches, as they lie in the file.

    A stream that several pages share counts for the first of them, so that the sum is
    about the size of the file. Raises `Locked` or `Damaged` where it does not open.
    """
    try:
        with pikepdf.open(
            io.BytesIO(pdf), password=passphrase.reveal() if passphrase else ""
        ) as opened:
            seen: set[tuple[int, int]] = set()
            return tuple(sum(_streams(page.obj, seen, 0)) for page in opened.pages)
    except pikepdf.PasswordError:
        raise Locked("the packet does not open with this passphrase") from None
    except pikepdf.PdfError:
        raise Damaged("the packet cannot be opened to weigh its pages") from None


def _streams(item: pikepdf.Object, seen: set[tuple[int, int]], depth: int) -> Iterator[int]:
    if depth > _DEEPEST or not isinstance(
        item, pikepdf.Dictionary | pikepdf.Array | pikepdf.Stream
    ):
        return
    if item.is_indirect:
        if item.objgen in seen:
            return
        seen.add(item.objgen)
    if isinstance(item, pikepdf.Stream):
        yield len(item.read_raw_bytes())
    if isinstance(item, pikepdf.Array):
        for inner in item:
            yield from _streams(inner, seen, depth + 1)
        return
    for key, inner in item.items():
        if key not in ("/Parent", "/P", "/Dest", "/Annots"):
            yield from _streams(inner, seen, depth + 1)


def largest_pages(weights: tuple[int, ...], how_many: int = 3) -> str:
    """`page 4 (6.2 MB), page 9 (3.1 MB)`: the heaviest first."""
    ranked = sorted(enumerate(weights, start=1), key=lambda pair: -pair[1])[:how_many]
    return ", ".join(f"page {page} ({megabytes(weight)})" for page, weight in ranked if weight)


def megabytes(weight: int) -> str:
    """`6.2 MB`, or `0.04 MB` for what is small."""
    return f"{weight / 1e6:.{1 if weight >= 1e5 else 2}f} MB"

"""Palettes (ISO 32000-2, 8.6.6.3) that hold the colours which are seen, and no words.

A palette is a string of bytes, and entries that no sample names, or that only a
colour key takes out, can spell anything.
"""

import re

import pikepdf
from pikepdf import Array, Name, Stream, String

_BASES = {"/DeviceGray": 1, "/CalGray": 1, "/DeviceRGB": 3, "/CalRGB": 3, "/Lab": 3,
          "/DeviceCMYK": 4}  # fmt: skip
_NUMBER = re.compile(rb"[0-9](?:[^0-9A-Za-z]{0,2}[0-9]){8}")


def bare_palette(space: Array) -> Array:
    """The colour space itself, or an Indexed one whose table ends with its last colour."""
    if not _is_indexed(space):
        return space
    components, table = _components(space[1]), _table(space)
    highest = _whole(space[2])
    if components is None or highest is None or table is None:
        return space
    return Array([space[0], space[1], highest, String(table[: (highest + 1) * components])])


def without_hidden_colours(image: Stream) -> Array | None:
    """A colour space for the picture whose table spells no number in colours that are not seen.

    None: the one it has is sound, or its samples cannot be told.
    """
    space = image.get("/ColorSpace")
    if not isinstance(space, Array) or not _is_indexed(space):
        return None
    table, components = _table(space), _components(space[1])
    if table is None or components is None or not _NUMBER.search(table):
        return None
    seen = _seen(image)
    if seen is None:
        return None
    clean = bytearray(len(table))
    for index in seen:
        place = slice(index * components, (index + 1) * components)
        clean[place] = table[place]
    return Array([space[0], space[1], space[2], String(bytes(clean))])


def _is_indexed(space: Array) -> bool:
    return len(space) == 4 and space[0] in (Name.Indexed, Name("/I"))


def _components(base: object) -> int | None:
    family = base[0] if isinstance(base, Array) and len(base) else base
    if isinstance(base, Array) and len(base) > 1:
        if family == Name.ICCBased and isinstance(base[1], Stream):
            return _whole(base[1].get("/N"))
        if family == Name.DeviceN and isinstance(base[1], Array):
            return len(base[1])
    return 1 if family == Name.Separation else _BASES.get(str(family))


def _whole(value: object) -> int | None:
    return value if isinstance(value, int) else None


def _table(space: Array) -> bytes | None:
    lookup = space[3]
    if isinstance(lookup, String):
        return bytes(lookup)
    try:
        return bytes(lookup.read_bytes()) if isinstance(lookup, Stream) else None
    except pikepdf.PdfError:
        return None


def _seen(image: Stream) -> frozenset[int] | None:
    """The indexes that samples hold and no colour key takes out."""
    bits = _whole(image.get("/BitsPerComponent"))
    if bits not in (1, 2, 4, 8) or "/Decode" in image:
        return None
    try:
        samples = frozenset(bytes(image.read_bytes()))
    except pikepdf.PdfError:
        return None
    low = (1 << bits) - 1
    found = {byte >> shift & low for byte in samples for shift in range(0, 8, bits)}
    key = image.get("/Mask")
    if isinstance(key, Array) and len(key) == 2:
        found -= set(range(int(key[0]), int(key[1]) + 1))
    return frozenset(found)

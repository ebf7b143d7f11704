"""A JPEG without its extra segments: the compressed picture data stays bit for bit.

Markers as in ITU-T T.81 (ISO/IEC 10918-1), Annex B. Dropped: APPn (EXIF, XMP,
colour profiles, thumbnails, maker notes), comments, fill bytes, and whatever
stands after the end of the picture.
"""

_START, _END, _SCAN, _COMMENT = 0xD8, 0xD9, 0xDA, 0xFE
_APPLICATION = range(0xE0, 0xF0)
_RESTARTS = range(0xD0, 0xD8)
_ADOBE = 0xEE
_FRAMES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}


class JpegFormatError(Exception):
    """The bytes are not a sequence of JPEG segments that ends."""


def without_extras(data: bytes) -> bytes:
    """The picture alone. Raises `JpegFormatError` where the segments do not add up."""
    if data[:2] != bytes((0xFF, _START)):
        raise JpegFormatError
    kept = bytearray(data[:2])
    at = 2
    while True:
        marker, at = _marker_at(data, at)
        if marker == _END:
            return bytes(kept) + bytes((0xFF, _END))
        segment = _segment(data, at)
        at += len(segment)
        if marker in _APPLICATION or marker == _COMMENT:
            continue
        kept += bytes((0xFF, marker)) + segment
        if marker == _SCAN:
            end = _scan_end(data, at)
            kept += data[at:end]
            at = end


def adobe_transform(data: bytes) -> int | None:
    """The colour transform that an Adobe APP14 segment names; None without one."""
    at = 2
    while True:
        marker, at = _marker_at(data, at)
        if marker in (_END, _SCAN):
            return None
        segment = _segment(data, at)
        if marker == _ADOBE and segment[2:7] == b"Adobe" and len(segment) >= 14:
            return segment[13]
        at += len(segment)


def stored_as_rgb(data: bytes) -> bool:
    """Whether the frame header names its components R, G and B; some readers then skip
    the colour transform."""
    at = 2
    while True:
        marker, at = _marker_at(data, at)
        if marker in (_END, _SCAN):
            return False
        segment = _segment(data, at)
        if marker in _FRAMES:
            return segment[8:17:3] == b"RGB"
        at += len(segment)


def _marker_at(data: bytes, at: int) -> tuple[int, int]:
    """The marker that begins at `at`, and the place after it; fill bytes are passed over."""
    if data[at : at + 1] != b"\xff":
        raise JpegFormatError
    while data[at : at + 1] == b"\xff":
        at += 1
    if at >= len(data) or data[at] == 0:
        raise JpegFormatError
    return data[at], at + 1


def _segment(data: bytes, at: int) -> bytes:
    """A segment's length field and content."""
    length = int.from_bytes(data[at : at + 2], "big")
    if length < 2 or at + length > len(data):
        raise JpegFormatError
    return data[at : at + length]


def _scan_end(data: bytes, at: int) -> int:
    """Where the entropy-coded data of a scan ends: at the next marker that is no restart."""
    while True:
        at = data.find(b"\xff", at)
        if at < 0 or at + 1 >= len(data):
            raise JpegFormatError
        if data[at + 1] == 0 or data[at + 1] in _RESTARTS:
            at += 2
        elif data[at + 1] == 0xFF:
            at += 1
        else:
            return at

"""Samples of a stored picture: how many its size asks for, and whether there are many more."""

from packets.outbound.objects.opened import OpenedFile
from packets.outbound.objects.values import FileObject, Value

_BANDS = {"DeviceGray": 1, "CalGray": 1, "G": 1, "DeviceRGB": 3, "CalRGB": 3, "DeviceCMYK": 4}
_ROWS_TO_READ = 8
"""So few rows below a picture can show no digit."""


def bands(opened: OpenedFile, space: Value) -> int:
    """Components of a colour space, 0 where they are not known; indexes count as one."""
    space = opened.resolved(space)
    if isinstance(space, str):
        return _BANDS.get(space, 0)
    if not isinstance(space, list) or not space:
        return 0
    family = opened.resolved(space[0])
    if family == "ICCBased" and len(space) > 1:
        profile = opened.resolved(space[1])
        count = opened.resolved(profile.get("N")) if isinstance(profile, dict) else 0
        return count if isinstance(count, int) else 0
    if family in ("Indexed", "I", "Separation"):
        return 1
    return _BANDS.get(str(family), 0)


def has_rows_below(opened: OpenedFile, found: FileObject, samples: int) -> bool:
    """Whether so many bytes of samples go on for rows below the picture's height."""
    stencil = found.entries.get("ImageMask") is True
    width, height, bits = (
        opened.resolved(found.entries.get(key)) for key in ("Width", "Height", "BitsPerComponent")
    )
    each = 1 if stencil else bands(opened, found.entries.get("ColorSpace"))
    if stencil:
        bits = 1
    if not (isinstance(width, int) and isinstance(height, int) and isinstance(bits, int)):
        return False
    row = (width * bits * each + 7) // 8 + 1  # with the byte of a predictor
    return row > 1 and samples >= row * (height + _ROWS_TO_READ)

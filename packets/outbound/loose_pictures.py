"""Pictures in a file that no page shows by themselves: masks, leftovers, second versions.

PDFium hands out the pictures that pages draw. Every other picture object is
decoded here and read; what cannot be decoded counts as unread.
"""

import hashlib
from dataclasses import dataclass

from PIL import Image

from packets.base.errors import Damaged, InputRefused, OverLimit
from packets.base.limits import Limits
from packets.outbound.objects.filters import Decoded, filters_of
from packets.outbound.objects.opened import InflationAllowance, OpenedFile
from packets.outbound.objects.predictors import without_predictor
from packets.outbound.objects.values import FileObject
from packets.outbound.picture_hunt import PictureHunter, file_picture
from packets.outbound.picture_samples import bands
from packets.outbound.pixel_reader import READER
from packets.outbound.records import Reading, Sighting

_WITH_OWN_FORMAT = frozenset({"DCTDecode", "DCT", "JPXDecode"})


@dataclass(frozen=True)
class PictureIndex:
    """The picture objects of a file by the digest of their stored bytes."""

    objects: tuple[tuple[bytes, FileObject], ...]

    def is_masked(self, digest: bytes) -> bool:
        """Whether the stored bytes belong to a picture that shows only through a mask.

        Bytes of no picture object (one written into the page itself) count as masked.
        """
        same = [found.entries for known, found in self.objects if known == digest]
        return not same or any(
            entries.get("SMask") is not None
            or entries.get("Mask") is not None
            or entries.get("ImageMask") is True
            for entries in same
        )


def picture_index(opened: OpenedFile) -> PictureIndex:
    """All picture objects of an opened file."""
    return PictureIndex(
        tuple(
            (hashlib.sha256(found.raw).digest(), found)
            for found in opened.objects
            if found.raw is not None and found.entries.get("Subtype") == "Image"
        )
    )


def read_loose_pictures(
    opened: OpenedFile,
    index: PictureIndex,
    drawn: frozenset[bytes],
    hunter: PictureHunter,
    allowance: InflationAllowance,
    limits: Limits,
) -> Reading:
    """Hunt in every picture object whose stored bytes are not among `drawn`."""
    sightings: list[Sighting] = []
    unread: list[str] = []
    for digest, found in index.objects:
        if digest in drawn:
            continue
        place = f"picture in {found.place}"
        try:
            picture = _decoded(opened, found, allowance, limits)
        except InputRefused as fault:
            unread.append(f"{place}: no page shows it, and it cannot be read ({fault.what})")
            continue
        bars, letters = hunter.bars(picture), hunter.letters(picture)
        if letters.poor:
            unread.append(f"{place}: it can only be read poorly")
        if bars.undecoded:
            unread.append(f"{place}: a bar code that cannot be decoded")
        sightings += [
            Sighting(kind, 0, place, READER, sure)
            for kind, sure in sorted(bars.hits | letters.hits)
        ]
    return Reading(READER, hunter.version, 0, tuple(dict.fromkeys(sightings)), tuple(unread))


def _decoded(
    opened: OpenedFile, found: FileObject, allowance: InflationAllowance, limits: Limits
) -> Image.Image:
    width, height = _side(opened, found, "Width"), _side(opened, found, "Height")
    if width * height > limits.picture_pixels or max(width, height) >= limits.picture_side:
        raise OverLimit("too many pixels")
    body = opened.decode(found, allowance)
    if body.picture in _WITH_OWN_FORMAT:
        return file_picture(body.data, limits)
    if body.picture or body.faults:
        raise Damaged("its coding is not known here")
    return _from_samples(opened, found, body, (width, height))


def _side(opened: OpenedFile, found: FileObject, key: str) -> int:
    value = opened.resolved(found.entries.get(key))
    if not isinstance(value, int) or value < 1:
        raise Damaged("it has no size")
    return value


def _from_samples(
    opened: OpenedFile, found: FileObject, body: Decoded, size: tuple[int, int]
) -> Image.Image:
    stencil = found.entries.get("ImageMask") is True
    bits = 1 if stencil else opened.resolved(found.entries.get("BitsPerComponent"))
    each = 1 if stencil else bands(opened, found.entries.get("ColorSpace"))
    mode = {(1, 1): "1", (8, 1): "L", (8, 3): "RGB", (8, 4): "CMYK"}.get((bits, each))  # type: ignore[arg-type]  # any other value has no entry
    if mode is None:
        raise Damaged("its kind of samples is not known here")
    chain = filters_of({key: opened.deep(found.entries.get(key)) for key in _FILTER_KEYS})
    samples = without_predictor(body.data, chain[-1][1]) if chain else body.data
    row = (size[0] * (1 if mode == "1" else 8 * each) + 7) // 8
    if len(samples) < row * size[1]:
        raise Damaged("it has too few samples")
    return Image.frombytes(mode, size, samples[: row * size[1]]).convert("L")


_FILTER_KEYS = ("Filter", "DecodeParms")

"""The third reader: the file's bytes as they lie, with nothing undone but the file key.

An encrypted file still shows its object numbers, names, dictionary keys,
comments and whatever lies between objects (ISO 32000-2, 7.6.1).
"""

from packets import __version__
from packets.outbound.hunting import Hunter
from packets.outbound.objects.opened import OpenedFile
from packets.outbound.records import Reading, Sighting

READER = "bytes of the file"


def read_raw(data: bytes, hunter: Hunter, opened: OpenedFile) -> Reading:
    """Hunt in the bytes as they lie, and in the bytes of object streams without their filters."""
    pieces = [("bytes of the file", data)]
    pieces += [(f"bytes of {found.place}", body.data) for found, body in opened.unpacked]
    sightings = tuple(
        Sighting(kind, 0, place, READER, how_sure)
        for place, piece in pieces
        for kind, how_sure in hunter.in_bytes(piece)
    )
    return Reading(READER, f"packets {__version__}", 0, sightings)

"""Files inside a file: each is read for what it is, or counts as unread."""

from collections.abc import Callable
from dataclasses import replace

from packets import __version__
from packets.base.errors import InputRefused
from packets.base.limits import Limits
from packets.outbound.hunting import Hunter
from packets.outbound.picture_hunt import PictureHunter, file_picture
from packets.outbound.records import Reading, Sighting

READER = "files inside the file"
_PICTURES = (b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"II*\0", b"MM\0*", b"GIF8", b"BM")

CheckInner = Callable[[bytes], tuple[tuple[Reading, ...], tuple[str, ...]]]
CheckOther = Callable[[bytes], tuple[Reading, ...]]
"""Reads texts, mail, archives, office files, and whatever else is no PDF or picture."""


def check_enclosed(
    files: tuple[tuple[str, bytes], ...],
    hunter: Hunter,
    pictures: PictureHunter,
    limits: Limits,
    check_pdf_inside: CheckInner,
    check_other: CheckOther,
) -> tuple[Reading, ...]:
    """Readings of enclosed files, each by what it is; one of no known kind is unread."""
    readings: list[Reading] = []
    for place, data in files:
        try:
            if data[:1024].find(b"%PDF-") >= 0:
                inner, unread = check_pdf_inside(data)
                readings += [_moved(reading, place) for reading in inner]
                readings.append(_reading((), tuple(f"{place}: {words}" for words in unread)))
            elif data.startswith(_PICTURES):
                readings.append(_picture(place, data, hunter, pictures, limits))
            else:
                readings += [_by_us(_moved(reading, place)) for reading in check_other(data)]
        except InputRefused as fault:
            readings.append(_reading((), (f"{place}: {fault.what}",)))
    return tuple(readings)


def _reading(sightings: tuple[Sighting, ...], unread: tuple[str, ...] = ()) -> Reading:
    return Reading(READER, f"packets {__version__}", 0, sightings, unread)


def _moved(reading: Reading, place: str) -> Reading:
    return replace(
        reading,
        sightings=tuple(
            replace(seen, page=0, place=f"{place}: {seen.place}") for seen in reading.sightings
        ),
        unread=tuple(f"{place}: {words}" for words in reading.unread),
    )


def _by_us(reading: Reading) -> Reading:
    """A reading under one name, whoever made it: the report of a PDF stays one of few lines."""
    seen = tuple(replace(sighting, reader=READER) for sighting in reading.sightings)
    return _reading(seen, reading.unread)


def _picture(
    place: str, data: bytes, hunter: Hunter, pictures: PictureHunter, limits: Limits
) -> Reading:
    picture = file_picture(data, limits)
    bars, letters = pictures.bars(picture), pictures.letters(picture)
    hits = {*bars.hits, *letters.hits, *hunter.in_bytes(data)}
    seen = tuple(Sighting(kind, 0, place, READER, sure) for kind, sure in sorted(hits))
    faults = (
        (bars.undecoded, "a bar code that cannot be decoded"),
        (letters.poor, "it can only be read poorly"),
    )
    return _reading(seen, tuple(f"{place}: {words}" for is_so, words in faults if is_so))

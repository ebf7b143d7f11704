"""Files inside a file: each is read for what it is, or counts as unread."""

from collections.abc import Callable
from dataclasses import replace

from packets import __version__
from packets.base.errors import InputRefused
from packets.base.limits import Limits
from packets.outbound.hunting import Hunter
from packets.outbound.markup import read_markup
from packets.outbound.objects.strings import is_text, texts_of
from packets.outbound.picture_hunt import PictureHunter, grey_picture
from packets.outbound.records import Reading, Sighting

READER = "files inside the file"
_PICTURES = (b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"II*\0", b"MM\0*", b"GIF8", b"BM")
_MOST_TEXT = 16 * 1024 * 1024

CheckInner = Callable[[bytes], tuple[tuple[Reading, ...], tuple[str, ...]]]


def check_enclosed(
    files: tuple[tuple[str, bytes], ...],
    hunter: Hunter,
    pictures: PictureHunter,
    limits: Limits,
    check_pdf_inside: CheckInner,
) -> tuple[Reading, ...]:
    """Readings of enclosed PDFs, pictures and texts; any other file is unread."""
    readings: list[Reading] = []
    waiting = [(place, data, 0) for place, data in files]
    while waiting:
        place, data, depth = waiting.pop()
        try:
            if data[:1024].find(b"%PDF-") >= 0:
                inner, unread = check_pdf_inside(data)
                readings += [_moved(reading, place) for reading in inner]
                readings.append(_reading((), tuple(f"{place}: {words}" for words in unread)))
            elif data.startswith(_PICTURES):
                readings.append(_picture(place, data, hunter, pictures, limits))
            elif is_text(data) and len(data) <= _MOST_TEXT:
                seen, enclosed = read_text(place, data, hunter)
                readings.append(_reading(seen))
                waiting += [(f"file inside {place}", part, depth + 1) for part in enclosed]
            elif depth:  # what looked like Base64 may be any long word
                readings.append(_reading(_bytes(place, data, hunter)))
            else:
                strange = (f"{place}: a file of no known kind",)
                readings.append(_reading(_bytes(place, data, hunter), strange))
        except InputRefused as fault:
            readings.append(_reading((), (f"{place}: {fault.what}",)))
    return tuple(readings)


def read_text(
    place: str, data: bytes, hunter: Hunter
) -> tuple[tuple[Sighting, ...], tuple[bytes, ...]]:
    """Sightings in a text file, and the files that lie in it as Base64."""
    hits = set(hunter.in_bytes(data))
    enclosed: tuple[bytes, ...] = ()
    for text in texts_of(data):
        body, files = read_markup(text)
        hits |= set(hunter.in_page(body))
        enclosed = enclosed or files
    seen = tuple(Sighting(kind, 0, place, READER, sure) for kind, sure in sorted(hits))
    return seen, enclosed


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


def _bytes(place: str, data: bytes, hunter: Hunter) -> tuple[Sighting, ...]:
    return tuple(Sighting(kind, 0, place, READER, sure) for kind, sure in hunter.in_bytes(data))


def _picture(
    place: str, data: bytes, hunter: Hunter, pictures: PictureHunter, limits: Limits
) -> Reading:
    picture = grey_picture(data, limits)
    bars, letters = pictures.bars(picture), pictures.letters(picture)
    hits = {*bars.hits, *letters.hits, *hunter.in_bytes(data)}
    seen = tuple(Sighting(kind, 0, place, READER, sure) for kind, sure in sorted(hits))
    faults = (
        (bars.undecoded, "a bar code that cannot be decoded"),
        (letters.poor, "it can only be read poorly"),
    )
    return _reading(seen, tuple(f"{place}: {words}" for is_so, words in faults if is_so))

"""The second reader: every object and stream of the decrypted file, reachable or not."""

import re
from collections import Counter
from collections.abc import Iterator

from packets import __version__
from packets.base.errors import OverLimit
from packets.outbound.crude_scan import Hit
from packets.outbound.hunting import Hunter
from packets.outbound.objects.character_maps import CharacterMap, character_map, long_texts
from packets.outbound.objects.content import Shown, is_drawing, shown_in
from packets.outbound.objects.filters import Decoded
from packets.outbound.objects.font_programs import font_programs, starts_like_a_font
from packets.outbound.objects.opened import InflationAllowance, OpenedFile
from packets.outbound.objects.page_tree import page_numbers
from packets.outbound.objects.strings import is_date, is_text, strings_and_names, texts_of
from packets.outbound.objects.values import FileObject, Ref, dictionaries_in
from packets.outbound.picture_samples import has_rows_below
from packets.outbound.records import Reading, Sighting

READER = "objects and streams"

_READ_BY_PERSONS = {
    "V": "field value",
    "DV": "default field value",
    "RV": "field value",
    "Contents": "annotation text",
    "RC": "annotation text",
    "Title": "title",
    "Subject": "subject",
    "Keywords": "keywords",
    "Author": "author",
    "Alt": "alternate text",
    "ActualText": "replacement text",
    "E": "expansion text",
    "TU": "tooltip",
    "Desc": "description",
    "UF": "file name",
    "F": "file name",
    "T": "field name",
    "Reason": "signing reason",
    "URI": "link",
}
"""Keys whose strings a person may come to read, with the words for them."""
_TEXT_BYTES_MOST = 4 * 1024 * 1024
_NOT_TEXT_TYPES = frozenset({"XRef", "ObjStm"})
_SHORTEST_NUMBER = 5
_MOST_MAPS = 200
_PICTURE_START = re.compile(rb"\xff\xd8\xff")


def read_objects(opened: OpenedFile, hunter: Hunter, allowance: InflationAllowance) -> Reading:
    """Hunt in every string, name and stream of an opened file."""
    work = _ObjectReading(opened, hunter, allowance)
    work.run()
    sightings = tuple(dict.fromkeys(work.sightings))
    version = f"packets {__version__}"
    unread = (*opened.unread, *work.unread)
    return Reading(READER, version, 0, sightings, unread, tuple(work.enclosed))


class _ObjectReading:
    def __init__(self, opened: OpenedFile, hunter: Hunter, allowance: InflationAllowance) -> None:
        self.opened = opened
        self.hunter = hunter
        self.allowance = allowance
        self.sightings: list[Sighting] = []
        self.unread: list[str] = []
        self.enclosed: list[tuple[str, bytes]] = []
        self.seen_strings: set[tuple[bool, bytes]] = set()
        self.names_of_nothing: set[str] = set()
        """Names of letters alone in which nothing was found: most occur in every object."""
        self.field_values: list[str] = []
        self.maps = tuple(_character_maps(opened, allowance))
        self.page_contents = _page_contents(opened)
        self.font_programs = font_programs(opened)
        self.embedded = frozenset(_embedded(opened))

    def run(self) -> None:
        for found in self.opened.objects:
            strings, names = strings_and_names(found)
            self.strings(found, strings)
            self.names(found, names)
            if found.raw is not None:
                self.stream(found)
        for trailer in self.opened.trailers:
            whole = FileObject(0, 0, trailer)
            self.strings(whole, strings_and_names(whole)[0])
        values = "\n".join(self.field_values)
        self.note(self.hunter.in_digits((values,)), "field values taken together")

    def note(self, hits: tuple[Hit, ...], place: str) -> None:
        for kind, how_sure in hits:
            self.sightings.append(Sighting(kind, 0, place, READER, how_sure))

    def strings(self, found: FileObject, strings: list[tuple[str, bytes]]) -> None:
        parts: list[str] = []
        for key, data in strings:
            if len(data) > _TEXT_BYTES_MOST or is_date(data) or not is_text(data):
                self.note(self.hunter.in_bytes(data, shapes=not is_date(data)), found.place)
                continue
            words = _READ_BY_PERSONS.get(key, "")
            texts = texts_of(data)
            parts.append(texts[0])
            if key in ("V", "DV"):
                self.field_values.append(texts[0])
            if (bool(words), data) in self.seen_strings:
                continue
            self.seen_strings.add((bool(words), data))
            place = f"{found.place}, {words}" if words else found.place
            for text in texts:
                hits = self.hunter.in_page(text) if words else self.hunter.in_string(text)
                self.note(hits, place)
        if len(parts) > 1:
            self.note(self.hunter.in_digits(("\n".join(parts),)), found.place)

    def names(self, found: FileObject, names: set[str]) -> None:
        for name in sorted(names - self.names_of_nothing):
            hits = self.hunter.in_string(name) if len(name) >= _SHORTEST_NUMBER else ()
            if hits:
                self.note(hits, f"{found.place}, a name")
            elif name.isalpha():
                self.names_of_nothing.add(name)

    def stream(self, found: FileObject) -> None:
        if "F" in found.entries and found.entries.get("Type") != "EmbeddedFile":
            self.unread.append(f"{found.place}: a stream that is kept in another file")
        try:
            body = self.opened.decode(found, self.allowance)
        except OverLimit as fault:
            self.unread.append(f"{found.place}: {fault.what}")
            return
        self.unread += body.faults
        if body.tail.strip(b"\0\t\n\x0c\r "):
            self.note(self.hunter.in_bytes(body.tail), f"{found.place}, behind the data")
        if found.number in self.embedded or found.entries.get("Type") == "EmbeddedFile":
            self.enclosed.append((f"attachment in {found.place}", body.data))
        elif body.picture:
            self.picture(found, body)
        else:
            self.plain(found, body.data)

    def is_font(self, found: FileObject, data: bytes) -> bool:
        return found.number in self.font_programs and starts_like_a_font(data)

    def picture(self, found: FileObject, body: Decoded) -> None:
        self.note(self.hunter.in_bytes(body.data), f"{found.place}, data beside a picture")
        if body.picture in ("DCTDecode", "DCT"):
            for start in list(_PICTURE_START.finditer(body.data))[1:5]:
                place = f"small picture inside the picture of {found.place}"
                self.enclosed.append((place, body.data[start.start() :]))

    def plain(self, found: FileObject, data: bytes) -> None:
        is_picture = found.entries.get("Subtype") == "Image"
        if is_picture and has_rows_below(self.opened, found, len(data)):
            self.unread.append(f"{found.place}: rows of a picture below its height")
        self.note(self.hunter.in_bytes(data, shapes=not is_picture), f"{found.place}, stream")
        if is_picture or found.entries.get("Type") in _NOT_TEXT_TYPES or self.is_font(found, data):
            return
        if b"beginbf" in data:
            for text in long_texts(data):
                self.note(self.hunter.in_string(text), f"{found.place}, a character map")
        shown = shown_in(data)
        if shown is not None:
            place = f"{found.place}, shown text"
            self.note(self.hunter.in_string(shown.lines), place)
            self.note(self.hunter.in_seams(shown.joined), place)
            self.note(self.hunter.in_string(shown.comments), f"{found.place}, a comment")
            if found.number not in self.page_contents:
                self.mapped(shown, place)
        elif len(data) <= _TEXT_BYTES_MOST and is_text(data) and not is_drawing(data):
            for text in texts_of(data):
                self.note(self.hunter.in_string(text), f"{found.place}, stream")

    def mapped(self, shown: Shown, place: str) -> None:
        """Text in the codes of the file's fonts; that of pages is PDFium's business."""
        for each in self.maps:
            texts = [each.read(codes) for codes in shown.codes]
            if any(char.isdigit() for text in texts for char in text):
                self.note(self.hunter.in_string("\n".join(texts)), place)
                self.note(self.hunter.in_seams("".join(texts)), place)


def _character_maps(opened: OpenedFile, allowance: InflationAllowance) -> Iterator[CharacterMap]:
    """The distinct ToUnicode maps of the file."""
    seen: set[int] = set()
    for font in opened.objects:
        target = font.entries.get("ToUnicode")
        if not isinstance(target, Ref) or target.number in seen:
            continue
        seen.add(target.number)
        stream = opened.latest.get(target.number)
        if stream is not None and stream.raw is not None and len(seen) <= _MOST_MAPS:
            found = character_map(opened.decode(stream, allowance).data)
            if found is not None:
                yield found


def _page_contents(opened: OpenedFile) -> frozenset[int]:
    """Numbers of the streams that pages show, where the file leaves no doubt about them."""
    if opened.revisions > 1:
        return frozenset()
    shown: set[int] = set()
    for number in page_numbers(opened):
        contents = opened.latest[number].entries.get("Contents")
        held = opened.resolved(contents)
        parts = held if isinstance(held, list) else [contents]
        shown.update(part.number for part in parts if isinstance(part, Ref))
    count = Counter(found.number for found in opened.objects)
    return frozenset(number for number in shown if count[number] == 1)


def _embedded(opened: OpenedFile) -> Iterator[int]:
    """Numbers of the streams that file specifications lead to."""
    for found in opened.objects:
        for value in dictionaries_in(found.value):
            files = opened.resolved(value.get("EF"))
            for target in files.values() if isinstance(files, dict) else ():
                if isinstance(target, Ref):
                    yield target.number

"""What a packet of ours is made of, by list: whatever the list does not name holds it."""

import re

from packets.outbound.objects.opened import OpenedFile
from packets.outbound.objects.values import FileObject, Ref, Value, dictionaries_in

_CATALOG = frozenset(
    {
        "Type",
        "Pages",
        "Version",
        "Extensions",
        "Outlines",
        "PageMode",
        "PageLayout",
        "PageLabels",
        "ViewerPreferences",
        "Lang",
    }
)
_PAGE = frozenset(
    {
        "Type",
        "Parent",
        "Contents",
        "Resources",
        "MediaBox",
        "CropBox",
        "Rotate",
        "UserUnit",
        "Group",
        "Annots",
    }
)
_ORDINARY = re.compile(
    rb"(?:%PDF-\d\.\d\s*+%\xbf\xf7\xa2\xfe|end(?:stream|obj)|startxref\s++\d++|%%EOF|\s++)*+"
)
"""What lies between the objects of a packet: header, ends, and where the last object starts."""
_HOLD_THE_FILE = ("XRef", "ObjStm")
_INFORMATION = frozenset({"Title"})

_NEVER = {
    "JavaScript": "a script",
    "JS": "a script",
    "OpenAction": "an action on opening",
    "AA": "an action of its own accord",
    "EmbeddedFiles": "an attached file",
    "EF": "an attached file",
    "AF": "an attached file",
    "XFA": "a form description beside the pages",
    "AcroForm": "form fields",
    "PieceInfo": "private data of another program",
    "Thumb": "a small picture of a page",
    "Alternates": "a second picture behind a picture",
    "StructTreeRoot": "a structure tree",
    "OCProperties": "layers",
    "Threads": "article threads",
    "Collection": "a collection of files",
    "LastModified": "an editing trace",
}
_NEVER_SUBTYPES = {
    "Launch": "an action that starts a program",
    "URI": "a link out of the file",
    "SubmitForm": "an action that sends data",
    "ImportData": "an action that reads data",
    "GoToR": "a link into another file",
    "GoToE": "a link into an attached file",
    "Rendition": "a media action",
    "Movie": "a media action",
    "Sound": "a media action",
}


def unlisted(opened: OpenedFile) -> tuple[str, ...]:
    """In words, everything in the file that a packet of ours never holds."""
    found: list[str] = []
    for item in opened.objects:
        found += _in_object(item)
    for trailer in opened.trailers:
        information = opened.resolved(trailer.get("Info"))
        if isinstance(information, dict) and not _INFORMATION.issuperset(information):
            found.append("document information beyond the title")
    if opened.revisions > 1:
        found.append("more than one revision")
    if not all(_ORDINARY.fullmatch(gap) for gap in opened.between):
        found.append("bytes between the objects that belong to none")
    found += [f"{item.place}: nothing leads to it" for item in _unreachable(opened)]
    return tuple(dict.fromkeys(found))


def _unreachable(opened: OpenedFile) -> list[FileObject]:
    """Objects that no trailer leads to, apart from those that only hold the file together."""
    reached: set[int] = {opened.encrypt_number}
    waiting: list[Value] = list(opened.trailers)
    while waiting:
        value = waiting.pop()
        if isinstance(value, Ref):
            if value.number not in reached and value.number in opened.latest:
                reached.add(value.number)
                waiting.append(opened.latest[value.number].value)
        elif isinstance(value, list):
            waiting += value
        elif isinstance(value, dict):
            waiting += value.values()
    return [
        item
        for item in opened.objects
        if item.entries.get("Type") not in _HOLD_THE_FILE
        and (item.number not in reached or opened.latest[item.number] is not item)
    ]


def _in_object(item: FileObject) -> list[str]:
    found: list[str] = []
    for value in dictionaries_in(item.value):
        found += [f"{item.place}: {_NEVER[key]}" for key in value if key in _NEVER]
        action = value.get("S")
        if isinstance(action, str) and action in _NEVER_SUBTYPES:
            found.append(f"{item.place}: {_NEVER_SUBTYPES[action]}")
        found += _beyond(item, value)
    return found


def _beyond(item: FileObject, value: dict[str, Value]) -> list[str]:
    kind = value.get("Type")
    if kind == "Catalog" and not _CATALOG.issuperset(value):
        return [f"{item.place}: an entry of the root that a packet does not have"]
    if kind == "Page" and not _PAGE.issuperset(value):
        return [f"{item.place}: an entry of a page that a packet does not have"]
    if kind == "Annot" and value.get("Subtype") != "Link":
        return [f"{item.place}: an annotation"]
    return []

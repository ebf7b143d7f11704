"""A text that stands by itself, such as the body of a mail: nothing enclosed is let pass."""

from packets import __version__
from packets.outbound.carriers.text import DIGEST, json_members
from packets.outbound.crude_scan import Hit
from packets.outbound.hunting import Hunter
from packets.outbound.markup import read_markup
from packets.outbound.objects.strings import is_text, texts_of
from packets.outbound.records import Reading, Sighting

READER = "text file"


def read_text_file(data: bytes, hunter: Hunter) -> tuple[Reading, ...]:
    """Hunt in a text file: JSON by its members, markup between its tags, the rest as it stands.

    Bytes that are no text are told as unread.
    """
    hits = set(hunter.in_bytes(data))
    unread: tuple[str, ...] = ()
    if not is_text(data):
        unread = ("not a text, although its name says so",)
    for text in texts_of(data):
        members = json_members(text) if text[:1] in ("{", "[") else None
        if members is None:
            body, enclosed = read_markup(DIGEST.sub("\n", text))
            hits |= set(hunter.in_page(body))
            if enclosed:
                unread = ("files that lie in this text as Base64",)
        else:
            hits |= _in_members(members, hunter)
    seen = tuple(Sighting(kind, 0, "text of the file", READER, sure) for kind, sure in sorted(hits))
    return (Reading(READER, f"packets {__version__}", 0, seen, unread),)


def _in_members(members: list[tuple[str, object]], hunter: Hunter) -> set[Hit]:
    """A string may be a bare number; a number may be a size, unless its key says otherwise."""
    hits: set[Hit] = set()
    for key, value in members:
        if isinstance(value, str):
            hits |= set(hunter.in_page(DIGEST.sub("\n", value)))
        else:
            hits |= set(hunter.in_string(f"{key}: {value}"))
    return hits

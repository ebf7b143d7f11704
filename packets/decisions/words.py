"""What stands on a packet and what stands against it, in words for a preparer."""

import re

from packets.decisions.records import HoldReason, Origin
from packets.handover.holds import Station
from packets.identifiers.kind_words import kind_in_words

_SIGNING = (
    "Have the line signed and record the grant (`packets sign record` or `packets sign capture`), "
    "or take the role out of signed_by in the recipe; then build again."
)
_REMEDIES = {
    Station.CHOICE: "Say what these pages are, or leave them out; then build again.",
    Station.SIGNING: _SIGNING,
    Station.MASKING: "Scan or export this page again, blank the region, or leave the page out; "
    "then build again.",
    Station.SIZE: "Scan large pages at a lower resolution or leave them out; then build again.",
    Station.CHECK: "Look at the page named: blank the region or leave the page out, or add the "
    "number to identifiers.toml; then build again.",
    Station.PROOF: "The check cannot be trusted with this packet. Leave the pages out that are "
    "unlike others, and build again; nothing goes out before.",
}
_UNREAD = "could not be read: "
_SCAN_AGAIN = "Scan or export this page again, or leave it out; then build again."
_CONSENT = (
    "Put the signed consent into documents/consent-disclosure/, or record its signature; then "
    "build again."
)
_PLACE = re.compile(r"(?P<file>documents/.+?),? pages? (?P<page>\d+)")
_FILE = re.compile(r"(?P<file>documents/[^:]+):")


def mask_words(kind: str, shown: str) -> str:
    """`Social Security number, shows XXX-XX-6789`."""
    return f"{kind_in_words(kind)}, shows {shown.strip() or 'nothing'}"


def signature_words(role: str, grant: str) -> str:
    """Who signed, by what."""
    return f"{ {'ero': 'ERO', 'preparer': 'paid preparer'}.get(role, role) }, by grant {grant}"


def hold_reason(station: str, words: str, files: tuple[str, ...]) -> HoldReason:
    """A reason of a held build with what to do about it, and the source page it is about."""
    remedy = _REMEDIES.get(Station(station), "") if station in set(Station) else ""
    if words.startswith(_UNREAD):
        remedy = _SCAN_AGAIN
    elif "consent" in words and station in (Station.CHOICE, Station.SIGNING):
        remedy = _CONSENT
    return HoldReason(
        words, remedy or "Put right what is named, then build again.", _at(words, files)
    )


def _at(words: str, files: tuple[str, ...]) -> Origin | None:
    for found in (*_PLACE.finditer(words), *_FILE.finditer(words)):
        file = found["file"]
        if file in files:
            return Origin(file, int(found.groupdict().get("page") or 1))
    return None


def changed_reason(words: str) -> HoldReason:
    """A packet that is not what a build of today would make."""
    return HoldReason(words, "Build again; then look at the new packet.")


def note_reason(who: str, note: str) -> HoldReason:
    """A person's no."""
    return HoldReason(
        f"{who} held it: {note}", "Correct what the note asks for and build again, or release it."
    )

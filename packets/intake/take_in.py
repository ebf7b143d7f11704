"""One file of `documents/` becomes PDF bytes that every later station can open."""

import stat
from pathlib import Path

from packets.base.canonical import sha256_hex
from packets.base.errors import Damaged, InputRefused, OverLimit
from packets.base.limits import DEFAULT_LIMITS, Limits
from packets.base.secret import Secret
from packets.intake.folder_walk import MEDIA_BY_ENDING, shown_name
from packets.intake.pdf_documents import take_pdf
from packets.intake.pictures import take_picture
from packets.intake.records import SourceDocument
from packets.intake.source_signatures import installed_examiner, source_signatures

_SIGNATURES: tuple[tuple[bytes, str], ...] = (
    (b"\x89PNG\r\n\x1a\n", "image/png"),
    (b"\xff\xd8\xff", "image/jpeg"),
    (b"II*\0", "image/tiff"),
    (b"MM\0*", "image/tiff"),
    (b"II+\0", "image/tiff"),
    (b"MM\0+", "image/tiff"),
)
_HEADER_ZONE = 1024
"""A PDF header may stand anywhere in the first 1,024 bytes (ISO 32000-1, Annex H.3, note 13)."""
_PROSE = {
    "application/pdf": "a PDF",
    "image/png": "a PNG picture",
    "image/jpeg": "a JPEG picture",
    "image/tiff": "a TIFF picture",
    "text/html": "a web page",
    "application/zip": "an archive or office file",
    "": "none of PDF, PNG, JPEG and TIFF",
}


def take_in(
    path: Path,
    limits: Limits = DEFAULT_LIMITS,
    *,
    name: str = "",
    passwords: tuple[Secret, ...] = (),
) -> SourceDocument:
    """Read the file at `path` once and hand on its PDF bytes, its hash and its page count.

    `name` is what messages and the manifest call it. A PDF passes unchanged
    unless it was locked (then it is unlocked in memory, with the empty password
    or one of `passwords`) or needed repair. A picture becomes pages of its own
    size and resolution. Raises `Damaged`, `Locked` or `OverLimit`.
    """
    shown = shown_name(name or path.name)
    data = _bytes_of(path, shown, limits)
    media = media_of(data)
    promised = MEDIA_BY_ENDING.get(path.suffix.lower(), media)
    if not data:
        raise Damaged("the file is empty", where=shown, remedy="Scan or export it again.")
    if media not in _PROSE or media not in MEDIA_BY_ENDING.values() or media != promised:
        raise _not_what_it_says(shown, promised, media)
    if media == "application/pdf":
        taken = take_pdf(data, shown, limits, passwords)
    else:
        taken = take_picture(data, media, shown, limits)
    return SourceDocument(
        file=name or path.name,
        sha256=sha256_hex(data),
        pdf=taken.pdf,
        pages=taken.pages,
        media=media,
        notes=taken.notes,
        signatures=source_signatures(data, taken.signed, installed_examiner),
    )


def media_of(data: bytes) -> str:
    """What a file is by its first bytes; empty when it is nothing we know."""
    for signature, media in _SIGNATURES:
        if data.startswith(signature):
            return media
    zone = data[:_HEADER_ZONE]
    if b"%PDF-" in zone:
        return "application/pdf"
    if zone.startswith(b"PK"):
        return "application/zip"
    if b"<html" in zone.lower() or b"<!doctype" in zone.lower():
        return "text/html"
    return ""


def _bytes_of(path: Path, shown: str, limits: Limits) -> bytes:
    try:
        found = path.stat()
        if not stat.S_ISREG(found.st_mode):  # a pipe would block for ever
            raise InputRefused(
                "this is no file", where=shown, remedy="Give the path of a PDF or picture file."
            )
        if found.st_size > limits.file_bytes:
            raise OverLimit(
                f"the file has more than {limits.file_bytes // (1024 * 1024)} MB", where=shown
            )
        with path.open("rb") as file:
            data = file.read(limits.file_bytes + 1)
    except OSError as error:
        raise InputRefused(
            f"the file cannot be read ({error.strerror or 'no reason given'})",
            where=shown,
            remedy="Check that the file is there and that you may read it.",
        ) from None
    if len(data) > limits.file_bytes:
        raise OverLimit("the file grew beyond the limit while it was read", where=shown)
    return data


def _not_what_it_says(shown: str, promised: str, media: str) -> Damaged:
    found, said = _PROSE[media], _PROSE.get(promised, "a document")
    if media in MEDIA_BY_ENDING.values():
        ending = next(end for end, kind in MEDIA_BY_ENDING.items() if kind == media)
        remedy = f"Rename it so that it ends in {ending}, or export it again as {said}."
    else:
        remedy = f"Open it in the program that made it and export it again as {said}."
    return Damaged(f"the name says {said}, but the file is {found}", where=shown, remedy=remedy)

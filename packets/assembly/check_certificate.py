"""A one-page certificate of a check: when, what, with which result, by which readers."""

import datetime as dt
import io
from dataclasses import dataclass

from reportlab.lib.utils import simpleSplit
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas

from packets.assembly.typesetting import BOLD, LEFT, RIGHT, ROMAN, SHEET

TITLE = "Certificate of an outbound check"
_EVEN = "Courier"
_TOP, _FOOT = 724.0, 96.0
_EXPLAINED = (
    "A clean check says that none of the readers named here saw a full taxpayer, account or card"
    " number, and that nothing stayed unread. It is evidence, not a guarantee. A digest is SHA-256"
    " (FIPS 180-4), printed in groups of four with colons; the digest of the list is made over one"
    " line for each file, its digest, two blanks and its name, in the order of the digests."
)


@dataclass(frozen=True)
class CertifiedFile:
    """One file of the check."""

    name: str
    """As it may be told: it shows no number."""
    sha256: str
    result: str
    """`clean` or `held`."""


@dataclass(frozen=True)
class CertificateFacts:
    """Everything that stands on the sheet."""

    checked: str
    """What was checked, in words."""
    at: dt.datetime
    """With its time zone."""
    files: tuple[CertifiedFile, ...]
    list_sha256: str
    readers: tuple[tuple[str, str], ...]
    """Name and version."""
    rules_sha256: str
    program: str


def certificate(facts: CertificateFacts) -> bytes:
    """The sheet as a PDF (US Letter); the same bytes for the same facts.

    As many files as there is room for are listed, held ones first; the digest of the
    list covers all.
    """
    target = io.BytesIO()
    canvas = Canvas(target, pagesize=SHEET, invariant=True)
    canvas.setTitle(TITLE)
    sheet = _Sheet(canvas)
    held = sum(file.result != "clean" for file in facts.files)
    sheet.write(TITLE, ROMAN, 22, 30)
    sheet.write(_result(len(facts.files), held), BOLD, 13, 22)
    sheet.fact("Checked", facts.checked)
    sheet.fact("Date and time", facts.at.strftime("%B %d, %Y, %H:%M:%S (UTC%z)"))
    sheet.fact("Program", facts.program)
    sheet.digest("Digest of its rules", facts.rules_sha256)
    sheet.digest("Digest of the list", facts.list_sha256)
    sheet.down(8)
    sheet.write("Readers", BOLD, 10.5, 14)
    for name, version in facts.readers:
        sheet.fact(name, version)
    sheet.down(8)
    sheet.write("Files", BOLD, 10.5, 14)
    _list(sheet, sorted(facts.files, key=lambda file: (file.result == "clean", file.name)))
    sheet.foot(_EXPLAINED)
    canvas.showPage()
    canvas.save()
    return target.getvalue()


def _result(files: int, held: int) -> str:
    of_them = f"{files:,} file{'s' if files != 1 else ''}"
    return f"HELD: {held:,} of {of_them}" if held else f"CLEAN: {of_them}"


def _list(sheet: "_Sheet", files: list[CertifiedFile]) -> None:
    for number, file in enumerate(files):
        if sheet.room() < 52:
            sheet.write(
                f"and {len(files) - number:,} more, in the list of the digest", ROMAN, 9, 12
            )
            return
        sheet.digest(f"{file.result}: {file.name}", file.sha256, above=True)


def in_groups(digest: str) -> str:
    """A digest in groups of four with colons, which no reader takes for parts of a number."""
    return ":".join(digest[at : at + 4] for at in range(0, len(digest), 4))


class _Sheet:
    """Lines from the top downward, in the standard faces."""

    def __init__(self, canvas: Canvas) -> None:
        self.canvas, self.y = canvas, _TOP

    def room(self) -> float:
        return self.y - _FOOT

    def down(self, points: float) -> None:
        self.y -= points

    def write(self, text: str, face: str, size: float, leading: float) -> None:
        self.put(LEFT, text, face, size)
        self.y -= leading

    def put(self, x: float, text: str, face: str, size: float) -> None:
        self.canvas.setFont(face, size)
        self.canvas.drawString(x, self.y, _fitted(text, face, size, RIGHT - x))

    def fact(self, name: str, words: str) -> None:
        if self.room() < 60:
            return
        self.put(LEFT, name, ROMAN, 9.5)
        self.put(LEFT + 130, words, ROMAN, 9.5)
        self.y -= 13

    def digest(self, name: str, digest: str, *, above: bool = False) -> None:
        self.put(LEFT, name, ROMAN, 9.5)
        if above:
            self.y -= 10
        self.put(LEFT + (10 if above else 130), in_groups(digest), _EVEN, 7.5)
        self.y -= 13

    def foot(self, words: str) -> None:
        self.y = _FOOT - 22
        for line in simpleSplit(words, ROMAN, 8, RIGHT - LEFT):
            self.write(line, ROMAN, 8, 10)


def _fitted(text: str, face: str, size: float, room: float) -> str:
    """The text in letters that the standard faces have, cut in the middle where it is too long."""
    shown = "".join(sign if sign.isprintable() else "?" for sign in text)
    shown = shown.encode("cp1252", "replace").decode("cp1252")
    kept = len(shown)
    fitted = shown
    while kept > 8 and stringWidth(fitted, face, size) > room:
        kept -= 1
        fitted = f"{shown[: kept // 2]}...{shown[len(shown) - kept + kept // 2 :]}"
    return fitted

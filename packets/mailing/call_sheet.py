"""A sheet from which a passphrase is read over the telephone. It names no person."""

import io

from reportlab.lib.pagesizes import letter
from reportlab.lib.utils import simpleSplit
from reportlab.pdfgen.canvas import Canvas

from packets.base.secret import Secret
from packets.mailing.spelling import in_groups, spelled

_LEFT, _RIGHT, _TOP, _FOOT = 72.0, 72.0, 720.0, 72.0
"""Points."""
_PLAIN, _BOLD, _EVEN = "Helvetica", "Helvetica-Bold", "Courier-Bold"
_BEFORE = (
    "Call the number that is in your own files, not one from a message.",
    "Make sure who speaks before you read anything: ask what only the client can know.",
    "Read it slowly, word by word, and let the client read it back. Leave it on no answering "
    "machine and send it in no message.",
)
_AFTER = "Keep this sheet away from the packet, and shred it after the call."


def call_sheet(packet: str, passphrase: Secret) -> bytes:
    """The sheet as a PDF (US letter); the same bytes for the same words."""
    target = io.BytesIO()
    canvas = Canvas(target, pagesize=letter, invariant=True)
    canvas.setTitle("Call sheet")
    sheet = _Sheet(canvas)
    sheet.write("Passphrase, to be read over the telephone", _BOLD, 16, 26)
    sheet.write(f"Packet: {packet}" if packet else "Standing passphrase", _PLAIN, 11, 22)
    for number, sentence in enumerate(_BEFORE, start=1):
        sheet.write(f"{number}. {sentence}", _PLAIN, 10, 14)
    sheet.skip(14)
    words = passphrase.reveal()
    sheet.write(_opening(words), _PLAIN, 10, 24)
    for group in in_groups(words):
        if group.isalnum():
            sheet.keep_together(50)
            sheet.write(_drawable(group), _EVEN, 18, 17)
            sheet.write(" ".join(_spelled_out(group)), _PLAIN, 11, 22)
        else:
            sheet.write(f"then: {spelled(group)}", _PLAIN, 11, 22)
    sheet.skip(10)
    sheet.write(_AFTER, _BOLD, 10, 14)
    canvas.showPage()
    canvas.save()
    return target.getvalue()


def _opening(words: str) -> str:
    count = sum(group.isalnum() for group in in_groups(words))
    small = "all small letters, " if words == words.lower() else ""
    return f"{count} word{'s' if count != 1 else ''}, {small}{len(words)} characters in all:"


def _spelled_out(word: str) -> list[str]:
    return [f"{spelled(character)}," for character in word[:-1]] + [spelled(word[-1])]


def _drawable(word: str) -> str:
    """The standard fonts draw Latin letters only; others are told by their names below."""
    return word.encode("cp1252", "replace").decode("cp1252")


class _Sheet:
    """Lines from the top to the foot of as many pages as it takes."""

    def __init__(self, canvas: Canvas) -> None:
        self.canvas, self.y = canvas, _TOP

    def write(self, text: str, font: str, size: float, down: float) -> None:
        width = letter[0] - _LEFT - _RIGHT
        lines = simpleSplit(text, font, size, width)
        for at, line in enumerate(lines):
            self.keep_together(size)
            self.canvas.setFont(font, size)
            self.canvas.drawString(_LEFT, self.y, line)
            self.y -= down if at == len(lines) - 1 else size * 1.25

    def skip(self, points: float) -> None:
        self.y -= points

    def keep_together(self, points: float) -> None:
        if self.y - points < _FOOT:
            self.canvas.showPage()
            self.y = _TOP

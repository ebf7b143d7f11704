"""Pages drawn for tests: headings like those of official forms, letters, papers. All invented."""

import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from reportlab.lib.pagesizes import LETTER
from reportlab.pdfgen.canvas import Canvas

Draw = Callable[[Canvas], None]
WIDTH, HEIGHT = LETTER


def pdf_of(*pages: Draw) -> bytes:
    """One PDF page for each drawing; no compression, so that tests may look inside."""
    target = io.BytesIO()
    canvas = Canvas(target, pagesize=LETTER, invariant=True)
    for draw in pages:
        draw(canvas)
        canvas.showPage()
    canvas.save()
    return target.getvalue()


@dataclass(frozen=True)
class Words:
    """Text at a place: points from the left and from the top."""

    text: str
    x: float
    y: float
    size: float = 9.0

    def draw(self, canvas: Canvas) -> None:
        canvas.setFont("Helvetica", self.size)
        canvas.drawString(self.x, HEIGHT - self.y, self.text)


def page_of(*words: Words) -> Draw:
    def draw(canvas: Canvas) -> None:
        for entry in words:
            entry.draw(canvas)

    return draw


def body(first: float = 200.0, lines: int = 24) -> tuple[Words, ...]:
    """The numbered lines of a form."""
    return tuple(
        Words(f"{number} Enter the amount from the line above{' .' * 12} {number}", 40, y)
        for number, y in enumerate((first + 18 * step for step in range(lines)), start=1)
    )


def prose(text: str, first: float = 120.0, size: float = 10.0) -> tuple[Words, ...]:
    """Running text, broken into lines of about ninety characters."""
    lines: list[str] = [""]
    for word in text.split():
        if len(lines[-1]) + len(word) > 90:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return tuple(Words(line, 60, first + 14 * step, size) for step, line in enumerate(lines))


def form_front(
    number: str, title: str, *, year: int = 2025, sequence: str = "", footer: str = ""
) -> Draw:
    """The first page of a form: its name, title, year and sequence number."""
    words = [
        Words("Form", 36, 46, 7),
        Words(number, 56, 48, 22 if not number.startswith("Schedule") else 12),
        Words(title, 180, 48, 13),
        Words("OMB No. 1545-0074", 500, 42, 7),
        Words(str(year), 507, 64, 20),
        Words("Department of the Treasury", 36, 66, 7),
        Words("Name(s) shown on return", 36, 100, 7),
        Words("Your social security number", 472, 100, 7),
    ]
    if number.startswith("Schedule"):
        words[0] = Words("(Form 1040)", 36, 58, 9)
        words[1] = Words(number.upper(), 36, 46, 11)
    if sequence:
        words.append(Words(f"Attachment Sequence No. {sequence}", 480, 82, 8))
    words.append(Words(footer or "Cat. No. 00000X", 430, 760, 8))
    return page_of(*words, *body())


def form_later(running: str, page: int) -> Draw:
    """A later page of a form: only the running title and the page number."""
    return page_of(
        Words(running, 36, 40, 7), Words(f"Page {page}", 552, 40, 9), *body(first=70, lines=30)
    )


def letter(*paragraphs: str, greeting: str = "Dear Pat and Robin,", close: bool = True) -> Draw:
    words: Sequence[Words] = (
        Words("Example & Example, tax office", 60, 50, 12),
        Words("1 Sample Street, Springfield, Illinois 62701", 60, 66),
        Words("March 3, 2026", 60, 100),
        Words(greeting, 60, 130, 10),
        *prose(" ".join(paragraphs), first=150),
    )
    ending = (Words("Sincerely,", 60, 600, 10), Words("Alex Example", 60, 640, 10))
    return page_of(*words, *(ending if close else ()))

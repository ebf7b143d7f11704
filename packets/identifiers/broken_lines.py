"""Numbers that run over the ends of lines: by their dashes, or by the label before them."""

from collections.abc import Iterator

import regex

from packets.identifiers import shapes
from packets.identifiers.kinds import NINE_DIGIT_KINDS
from packets.identifiers.labelled_line import LabelledLine
from packets.identifiers.ranges import personal_kind
from packets.identifiers.records import Sureness, TextMatch

_ON_LINE, _OVER = r" ?[- ] ?", r"[ \t]*-?[ \t]*\n[ \t]*-?[ \t]*"
_ALONE = r"(?=[ \t]*(?:\n|$))"
_PARTED = regex.compile(
    rf"(?<![0-9A-Za-z.,$/-])[0-9]{{3}}(?:{_OVER}[0-9]{{2}}(?:{_OVER}|{_ON_LINE})"
    rf"|{_ON_LINE}[0-9]{{2}}{_OVER})[0-9]{{4}}(?![0-9A-Za-z]|[.,-][0-9]){_ALONE}"
)
"""Three, two and four digits, a line end between at least two of them."""
_FARTHEST = 200


def broken_over_lines(text: str) -> Iterator[TextMatch]:
    """Three-two-four shapes with a line end beside a dash, or behind a label that names them."""
    for digits in shapes.broken_three_two_four(text):
        yield _match(text, digits, Sureness.SHAPE)
    for match in _PARTED.finditer(text, overlapped=True):
        if _is_named(text[max(0, match.start() - _FARTHEST) : match.start()]):
            digits = shapes.digit_indexes(text, *match.span())
            yield _match(text, digits, Sureness.LABELLED)


def _is_named(before: str) -> bool:
    """Whether a label on the same line, or one open on the line above, names what follows."""
    lines = before.split("\n")
    own = lines[-1]
    if not own.strip(" \t"):
        above = next((line for line in reversed(lines[:-1]) if line.strip()), "")
        return any(label.kind in NINE_DIGIT_KINDS for label in LabelledLine(above).open_labels)
    labels = LabelledLine(own).labels
    return bool(labels) and (
        labels[-1].kind in NINE_DIGIT_KINDS and not any(map(str.isalnum, own[labels[-1].end :]))
    )


def _match(text: str, digits: tuple[int, ...], sureness: Sureness) -> TextMatch:
    return TextMatch(personal_kind("".join(text[i] for i in digits)), digits, sureness)

"""What a message says: subject and body of the recipe, as plain text and as simple HTML."""

import html
import re
from dataclasses import dataclass

from packets.recipe.check_texts import filled_body, filled_in
from packets.recipe.model import MailRules

_EMPTY_LINES = re.compile(r"\n[ \t]*\n\s*")


@dataclass(frozen=True)
class Wording:
    """The words of one message."""

    subject: str
    plain: str
    html: str


def wording_of(
    rules: MailRules, *, tax_year: int, household: str, office: str, part: str
) -> Wording:
    """The recipe's words with the tax year, household and office in their places.

    `part` is such as `1 of 3` for a numbered packet, else empty; it is told in the
    subject, because the body may not speak of it.
    """
    subject = filled_in(rules.subject, tax_year)
    body = filled_body(rules.body, tax_year=tax_year, household=household, office=office)
    lines = [line.rstrip() for line in body.strip().splitlines()]
    plain = "\n".join(lines) + "\n"
    return Wording(f"{subject} ({part})" if part else subject, plain, _as_html(plain))


def _as_html(plain: str) -> str:
    """Paragraphs and line breaks, and nothing that a mail program would load or run."""
    paragraphs = [html.escape(text) for text in _EMPTY_LINES.split(plain.strip())]
    inner = "\n".join(f"<p>{text}</p>" for text in paragraphs)
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8"><title></title></head>\n'
        f"<body>\n{inner}\n</body></html>\n"
    )

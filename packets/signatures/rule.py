"""What a rule of signing is, what it is asked, and how it says no. Not legal advice."""

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from packets.recipe.model import Role
from packets.signatures.grant import Grant

FormFigures = Mapping[str, int]
"""Amounts that a page shows, in whole dollars, by the keys of `[grant.figures]`."""


def none_readable() -> None:
    """No amount of the page can be read."""


@dataclass(frozen=True)
class Asked:
    """One line that asks for a signature, and the day on which an image is to be placed there."""

    role: Role
    """Whose signature the line asks for."""
    category: str
    tax_year: int
    today: dt.date
    """The day of the build. What is printed beside an image is always the day it was given."""
    document_sha256: str = ""
    """Of the file as it lies in the client folder."""
    figures: Callable[[], FormFigures | None] = none_readable
    """Reads the amounts of the page with the line, when a rule wants them; None: unreadable."""


@dataclass(frozen=True)
class Rule:
    """One rule: its name, the clause it comes from, and the test."""

    name: str
    source: str
    broken: Callable[[Grant, Asked], str]
    """How the grant breaks it, in words that continue `grant NAME …`; empty when it holds."""


@dataclass(frozen=True)
class Refusal:
    """A rule said no."""

    rule: str
    source: str
    words: str

    def __str__(self) -> str:
        return f"{self.words} [{self.rule}: {self.source}]"

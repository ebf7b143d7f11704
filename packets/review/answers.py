"""What the pages send: decisions and corrections, in bounds, or nothing."""

from typing import Annotated, Literal, TypeVar

from pydantic import BaseModel, ConfigDict, Field, StringConstraints, ValidationError

from packets.base.errors import InputRefused
from packets.base.geometry import Box
from packets.intake.page_ranges import PageRangeError, parse_page_range

LONGEST_NOTE = 500
LONGEST_SIDE = 14_400.0
"""Points: the longest side of a page (ISO 32000-1, Annex C.2)."""

Name = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=80)]
Words = Annotated[
    str, StringConstraints(strip_whitespace=True, min_length=1, max_length=LONGEST_NOTE)
]
Digest = Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{64}$")]
Points = Annotated[float, Field(ge=0, le=LONGEST_SIDE, allow_inf_nan=False)]


class _Answer(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, hide_input_in_errors=True)


class ReleaseAnswer(_Answer):
    """A person says yes to the very packet that was shown."""

    who: Name
    sha256: Digest
    looked: Literal[True]


class HoldAnswer(_Answer):
    """A person says no, and why."""

    who: Name
    sha256: Digest
    note: Words


class _Correction(_Answer):
    who: Name
    engagement: Digest
    """SHA-256 of engagement.toml as it was when the page was shown."""


class CategoryAnswer(_Correction):
    """The pages are something else."""

    kind: Literal["category"]
    pages: Annotated[str, StringConstraints(max_length=200)]
    category: Annotated[str, StringConstraints(pattern=r"^[a-z0-9][a-z0-9-]*$", max_length=60)]


class LeaveOutAnswer(_Correction):
    """The pages stay out."""

    kind: Literal["leave-out"]
    pages: Annotated[str, StringConstraints(max_length=200)]
    why: Words


class HideAnswer(_Correction):
    """A place of the page is taken out whole."""

    kind: Literal["hide"]
    box: tuple[Points, Points, Points, Points]
    """Left, top, right, bottom in points from the upper left corner of the page as shown."""
    why: Words

    @property
    def place(self) -> Box:
        """The place; a box of no size is refused before."""
        return Box(*self.box)


class NotANumberAnswer(_Correction):
    """What was masked there is no taxpayer number."""

    kind: Literal["not-a-number"]
    mark: Annotated[int, Field(ge=1)]
    """Number of the mark in the packet that was shown."""
    sha256: Digest
    why: Words


CorrectionAnswer = Annotated[
    CategoryAnswer | LeaveOutAnswer | HideAnswer | NotANumberAnswer, Field(discriminator="kind")
]


class CorrectAnswer(_Answer):
    """One correction of one page."""

    correction: CorrectionAnswer


class BuildAnswer(_Answer):
    """Build, by one of the recipes that the page offers."""

    recipe: Annotated[str, StringConstraints(pattern=r"^[a-p]{16}$")]


Kind = TypeVar("Kind", bound=_Answer)
_SAID = {
    "who": "your name is missing",
    "looked": "the box that says that you looked is not ticked",
    "note": "the note is missing, or longer than 500 characters",
    "why": "the reason is missing, or longer than 500 characters",
    "category": "this is no category: small letters, digits and hyphens",
    "pages": "these are not page numbers",
    "box": "this is no place on the page",
}


def answer_in(kind: type[Kind], body: bytes) -> Kind:
    """The answer in a request's body. Raises InputRefused for anything that is not one."""
    try:
        return kind.model_validate_json(body)
    except ValidationError as error:
        # What was sent is not repeated: it comes from outside.
        named = [str(step) for fault in error.errors() for step in fault["loc"] if step in _SAID]
        raise InputRefused(
            _SAID[named[0]] if named else "this answer did not arrive as the page sends it",
            remedy="Put it right and choose again." if named else "Load the page again.",
        ) from None


def pages_in(text: str, most: int) -> tuple[int, ...]:
    """Page numbers as a person types them. Raises InputRefused."""
    try:
        pages = parse_page_range(text)
    except PageRangeError as error:
        raise InputRefused(str(error), remedy="Write them such as 2 or 2-4,7.") from None
    if not pages or (most and pages[-1] > most):
        raise InputRefused("this file has no such page", remedy="Write them such as 2 or 2-4,7.")
    return pages


def place_in(answer: HideAnswer, width: float, height: float) -> Box:
    """The place as it lies on a page of that size. Raises InputRefused for one of no size."""
    given = answer.place
    place = Box(max(given.x0, 0), max(given.y0, 0), min(given.x1, width), min(given.y1, height))
    if place.width < 1 or place.height < 1:
        raise InputRefused(
            "this is no place on the page",
            remedy="Draw a box over what is to be hidden, or fill in the four numbers.",
        )
    return place

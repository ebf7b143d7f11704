"""What the page sends: strokes on a pad, in bounds and in the order of time, or nothing."""

from itertools import pairwise
from typing import Annotated, Self

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator

from packets.base.errors import InputRefused

PAD_WIDTH, PAD_HEIGHT = 900.0, 300.0
"""Units of the pad, origin upper left. The page scales what was drawn to them."""
MOST_STROKES = 100
MOST_POINTS = 6_000
"""In all strokes together: half a minute of drawing at the rate of a fast pen."""
LONGEST_MS = 30 * 60 * 1000.0

X = Annotated[float, Field(ge=0, le=PAD_WIDTH, allow_inf_nan=False)]
Y = Annotated[float, Field(ge=0, le=PAD_HEIGHT, allow_inf_nan=False)]
Milliseconds = Annotated[float, Field(ge=0, le=LONGEST_MS, allow_inf_nan=False)]
Pressure = Annotated[float, Field(ge=0, le=1, allow_inf_nan=False)]
"""0 where the device tells none (W3C Pointer Events, 4.1)."""
Point = tuple[X, Y, Milliseconds, Pressure]
Stroke = Annotated[tuple[Point, ...], Field(min_length=1, max_length=MOST_POINTS)]


class Answer(BaseModel):
    """A signature as the page sends it."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, hide_input_in_errors=True)

    consent: bool
    """The box beside the consent sentence was ticked."""
    strokes: Annotated[tuple[Stroke, ...], Field(min_length=1, max_length=MOST_STROKES)]

    @model_validator(mode="after")
    def _one_after_the_other(self) -> Self:
        points = [point for stroke in self.strokes for point in stroke]
        if len(points) > MOST_POINTS:
            raise ValueError("too many points")
        if any(later[2] < earlier[2] for earlier, later in pairwise(points)):
            raise ValueError("time runs backward")
        return self


def answer_in(body: bytes) -> Answer:
    """The answer in a request's body. Raises InputRefused for anything that is not one."""
    try:
        return Answer.model_validate_json(body)
    except ValidationError:
        # What was sent is not repeated: it comes from outside.
        raise InputRefused(
            "the strokes did not arrive as a signature",
            where="the pad",
            remedy="Choose Clear and draw the signature again.",
        ) from None

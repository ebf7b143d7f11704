"""The desk at which one document is signed: grants asked, images drawn, results noted."""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial
from typing import TYPE_CHECKING

import pikepdf

from packets.base.errors import Damaged, UsageError
from packets.base.geometry import Box
from packets.base.limits import Limits
from packets.recipe.model import Role
from packets.signatures.authority import STANDING
from packets.signatures.drawing import CAP_HEIGHT, Pen, run_width
from packets.signatures.grant import WET_INK, Grant
from packets.signatures.grants import GrantBook, Refused
from packets.signatures.page_frame import PageFrame, WidgetFrame, page_frame
from packets.signatures.page_views import PageViews
from packets.signatures.records import AlreadySigned, Artwork, MissingSignature, Placement
from packets.signatures.rule import Asked, FormFigures
from packets.signatures.upright import Upright, frame_of

if TYPE_CHECKING:
    from packets.signatures.page_look import Look

FiguresReader = Callable[[int], FormFigures | None]
"""The amounts on a page (from 1) in whole dollars; None where they cannot be read."""
NOT_DRAWN = "the page cannot be drawn, so print under the ink is not ruled out"
Runs = list[tuple[float, str]]


@dataclass(frozen=True)
class Line:
    """A line that asks for a signature, in a field or printed."""

    role: Role
    category: str
    page: int
    name: str
    """Of the field, or the label of a printed line."""


@dataclass
class Desk:
    """The work on one document."""

    document: pikepdf.Pdf
    views: PageViews
    index: int
    grants: GrantBook
    tax_year: int
    today: dt.date
    source_sha256: str
    figures: FiguresReader
    limits: Limits
    placements: list[Placement] = field(default_factory=list)
    missing: list[MissingSignature] = field(default_factory=list)
    already: list[AlreadySigned] = field(default_factory=list)
    artworks: dict[str, Artwork] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.pen = Pen(self.document)

    def asked(self, line: Line) -> Asked:
        """What the rules of signing are asked about a line."""
        return Asked(
            role=line.role,
            category=line.category,
            tax_year=self.tax_year,
            today=self.today,
            document_sha256=self.source_sha256,
            figures=partial(self.figures, line.page),
        )

    def place(self, line: Line, room: Box, upright: Upright, *, fields: bool) -> Grant | None:
        """Place an image in a room of the upright page by a grant; None, and noted, where not.

        With `fields`, what stands in form fields is print as well.
        """
        grant = self.grants.answer(self.asked(line))
        if isinstance(grant, Refused):
            self.miss(line, grant.why)
            return None
        from packets.signatures.clear_place import clear_place  # noqa: PLC0415 - once there is ink

        artwork = self._artwork(grant)
        look = self.look(line, upright, fields=fields)
        if look is None:
            return None
        box = clear_place(artwork, look, room)
        if isinstance(box, str):
            self.miss(line, box)
            return None
        frame = frame_of(box, upright, self.frame(line.page))
        self.pen.image(line.page, artwork, frame, (0.0, 0.0, frame.width, frame.height))
        self.placements.append(
            Placement(
                role=line.role.value,
                document=self.index,
                page=line.page,
                box=self.frame(line.page).shown_box(frame.area),
                field=line.name,
                grant=grant.id,
                image_sha256=artwork.sha256,
            )
        )
        return grant

    def write(
        self,
        line: Line,
        frame: WidgetFrame,
        written: tuple[float, Runs],
        look: "Look",
        upright: Box,
    ) -> bool:
        """Write a date into a frame, which is the box `upright` of the page that was looked at."""
        from packets.signatures.clear_place import clear_text  # noqa: PLC0415 - once there is ink

        size, runs = written
        unit = upright.width / frame.width
        baseline = (frame.height - CAP_HEIGHT * size) / 2
        foot = upright.y1 - baseline * unit
        for x, run in runs:
            x0 = upright.x0 + x * unit
            box = Box(
                x0, foot - CAP_HEIGHT * size * unit, x0 + run_width(run, size) * unit, foot - 0.3
            )
            if not clear_text(look, box):
                self.miss(line, "print stands where the date would go", is_date=True)
                return False
        self.pen.text(line.page, frame, size, runs)
        return True

    def frame(self, page: int) -> PageFrame:
        """Visible area and rotation of a page."""
        return page_frame(self.document.pages[page - 1])

    def look(self, line: Line, upright: Upright, *, fields: bool) -> "Look | None":
        """The pixels of a line's page; None, and noted, where it cannot be drawn."""
        try:
            return self.views.look(line.page, upright, fields=fields)
        except Damaged:
            self.miss(line, NOT_DRAWN)
            return None

    def signed_in_ink(self, line: Line) -> bool:
        """Whether a grant on record says that this very file was signed in ink by this role."""
        return any(
            grant.how == WET_INK and grant.document_sha256 == self.source_sha256
            for grant in self.grants.allowed(self.asked(line))
        )

    def note_signed(self, line: Line) -> None:
        """Note that a line came signed."""
        self.already.append(AlreadySigned(line.role.value, self.index, line.page, line.name))

    def miss(self, line: Line, why: str, *, is_date: bool = False) -> None:
        """Note that a line, or its date, got nothing."""
        self.missing.append(
            MissingSignature(line.role.value, self.index, line.page, line.name, why, is_date)
        )

    def _artwork(self, grant: Grant) -> Artwork:
        if grant.id not in self.artworks:
            from packets.signatures.artwork import load_artwork  # noqa: PLC0415 - once there is ink

            path = self.grants.artwork_path(grant)
            self.artworks[grant.id] = load_artwork(path, self.limits)
        return self.artworks[grant.id]


def gives_no_date(grant: Grant) -> bool:
    """Whether a grant stands for a season and not for one document.

    An ERO or preparer allows a facsimile once (Notices 2007-79 and 2004-54); the
    day of that says nothing of the day on which one return was signed, and a day
    that nobody gave is not printed. Bound to a document, a grant gives its day.
    """
    return grant.role in STANDING and not grant.document_sha256


def printed_day(grant: Grant, date_format: str, where: str) -> str:
    """The day the signature was given, where it was given; never the day of the build.

    Raises UsageError for a format that gives no date; `where` names its place.
    """
    try:
        text = grant.given_at.strftime(date_format)
        text.encode("cp1252")
    except ValueError:
        text = ""
    if not text.strip() or len(text) > 40 or not text.isprintable():
        raise UsageError("this date_format gives no date that can be printed", where=where)
    return text

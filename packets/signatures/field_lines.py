"""Signatures and dates in form fields that ask for them."""

from dataclasses import dataclass, field, replace

from packets.base.errors import Damaged
from packets.base.geometry import Box
from packets.signatures.appearances import normal_appearance, shows_content
from packets.signatures.claims import Claim
from packets.signatures.desk import NOT_DRAWN, Desk, Line, gives_no_date, printed_day
from packets.signatures.drawing import date_runs
from packets.signatures.fields_out import take_out
from packets.signatures.form_fields import Widget, dictionary, text_of
from packets.signatures.grant import Grant
from packets.signatures.page_frame import WidgetFrame, widget_frame
from packets.signatures.upright import Upright, box_of

LEAST_SIDE = 4.0
"""Points; a box narrower or lower than this shows no signature."""


@dataclass
class FieldLines:
    """The fields of one document."""

    desk: Desk
    used: dict[tuple[str, str], Grant] = field(default_factory=dict)
    """Grants that placed an image, by role and category."""

    def sign(self, claim: Claim) -> None:
        """Place one image, or say why not."""
        desk, widget, line = self.desk, claim.widget, line_of(claim)
        if widget.kind == "Sig" and _is_signature(widget):
            desk.note_signed(line)
            return
        frame = self._room(claim)
        if isinstance(frame, str):
            desk.miss(line, frame)
            return
        try:
            upright, room = self._upright(line.page, frame)
        except Damaged:
            desk.miss(line, NOT_DRAWN)
            return
        grant = desk.place(line, room, upright, fields=False)
        if grant is not None:
            take_out(desk.document, widget.page, widget.annotation)
            self.used[line.role.value, line.category] = grant

    def date(self, claim: Claim) -> None:
        """Write the day on which the placed signature was given, or say why not."""
        desk, widget, line = self.desk, claim.widget, line_of(claim)
        grant = self.used.get((line.role.value, line.category))
        if grant is None:
            return  # the signature itself is missing and was reported
        if gives_no_date(grant):
            if not text_of(widget.value).strip():
                desk.miss(
                    line, "a standing grant gives no day: it is left to be written", is_date=True
                )
            return
        where = f"[[sign]] of the {line.role.value}"
        date = printed_day(grant, claim.rule.date_format, where)
        if text_of(widget.value).strip() != date and not self._write(claim, date):
            return
        desk.placements = [
            replace(placed, dated=date)
            if placed.grant == grant.id and placed.page == widget.page
            else placed
            for placed in desk.placements
        ]

    def _write(self, claim: Claim, date: str) -> bool:
        desk, widget, line = self.desk, claim.widget, line_of(claim)
        frame = self._room(claim)
        if isinstance(frame, str):
            desk.miss(line, frame, is_date=True)
            return False
        written = date_runs(widget, frame, date)
        if written is None:
            desk.miss(line, "the date does not fit into the field", is_date=True)
            return False
        upright, box = self._upright(line.page, frame)
        look = desk.look(line, upright, fields=False)
        if look is None or not desk.write(line, frame, written, look, box):
            return False
        take_out(desk.document, widget.page, widget.annotation)
        return True

    def _upright(self, page: int, frame: WidgetFrame) -> tuple[Upright, Box]:
        """The page turned as the field reads, and the field's box on it."""
        shown = self.desk.frame(page)
        upright = self.desk.views.upright(page, (shown.rotation - frame.degrees) % 360)
        return upright, box_of(frame.area, upright, shown)

    def _room(self, claim: Claim) -> WidgetFrame | str:
        """The widget's frame, or in words why nothing may be put there."""
        page = self.desk.frame(claim.widget.page)
        frame = widget_frame(claim.widget, page)
        if frame is None:
            return "the field has no place on the page"
        if frame.width < LEAST_SIDE or frame.height < LEAST_SIDE:
            return "the field has no room on the page"
        if not page.shows(frame.area):
            return "the field lies outside the visible page"
        return _not_to_be_filled(claim) or frame


def line_of(claim: Claim) -> Line:
    """The line that a claimed field is."""
    widget = claim.widget
    return Line(claim.rule.role, claim.category, widget.page, widget.name)


def _not_to_be_filled(claim: Claim) -> str:
    """Why the field itself may not be filled; empty when it may."""
    widget = claim.widget
    if claim.disputed:
        return "rules for two roles name this field"
    if widget.kind not in ("Tx", "Sig"):
        return "this is neither a signature field nor a text field"
    if text_of(widget.value).strip() or shows_content(normal_appearance(widget.annotation)):
        return "the field is filled already, and what stands there is not overwritten"
    if widget.kind == "Sig" and widget.value is not None:
        return "the field holds something that is not a signature"
    return ""


def _is_signature(widget: Widget) -> bool:
    """Whether a signature field holds a signature dictionary with bytes and their range."""
    value = dictionary(widget.value)
    return value is not None and "/Contents" in value and "/ByteRange" in value

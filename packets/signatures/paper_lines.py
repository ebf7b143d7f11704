"""Printed lines of a document: found on its pages, left to fields that serve them, signed."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import groupby

from packets.base.errors import Damaged
from packets.base.geometry import Box
from packets.recipe.model import LineRule, Role, SignRule
from packets.signatures.authority import any_matches
from packets.signatures.claims import Claim
from packets.signatures.desk import Desk, Line, gives_no_date, printed_day
from packets.signatures.drawing import line_runs
from packets.signatures.form_fields import Widget, inherited, text_of
from packets.signatures.grant import Grant
from packets.signatures.page_letters import LabelWords, words_of
from packets.signatures.printed_lines import Names, PrintedLine, Sought, line_at, seek
from packets.signatures.upright import box_of, frame_of

SERVED = 0.3
"""Share of a field's area inside a line's room by which the field serves the line."""
DATE_HEIGHT = 12.0
"""Points of height in which a date stands on its line."""
NOT_FOUND = "no line for it was found on this page for certain"
WHOSE = "the page does not say whether this is the taxpayer's or the spouse's paper"


@dataclass
class PaperLines:
    """The printed lines of one document."""

    desk: Desk
    categories: Mapping[int, str]
    rules: Sequence[LineRule]
    names: Names
    widgets: Sequence[Widget]
    found: list[tuple[int, PrintedLine]] = field(default_factory=list)
    """Lines without a field, each with its page."""

    def look_through(self, claims: Sequence[Claim]) -> list[Claim]:
        """Find every line; return the claims on fields that serve one and that no rule names."""
        served: list[Claim] = []
        labels_of = {category: self._labels(category) for category in {*self.categories.values()}}
        for page, category in sorted(self.categories.items()):
            labels = labels_of[category]
            try:
                if not labels or not self.desk.views.may_show(page, labels):
                    continue
                readings = self.desk.views.readings(page)
            except Damaged:
                continue  # told below, where the paper always has a line
            for sought in seek(readings, category, self.rules, self.names):
                fields = self._serving(sought, page, category, claims)
                if fields is None:
                    self._add(sought, page)
                served += fields or []
        return served

    def _labels(self, category: str) -> list[LabelWords]:
        """The labels of all lines that papers of this category may have."""
        fitting = (rule for rule in self.rules if any_matches(rule.on, category))
        return [words_of(label) for rule in fitting for label in rule.labels]

    def sign(self, claims: Sequence[Claim]) -> None:
        """Sign the lines that were found, and tell of those that were not."""
        for page, printed in self.found:
            self._sign(page, printed)
        for page, role, category in self._not_found(claims):
            line = Line(role, category, page, "printed line")
            if self.desk.signed_in_ink(line):
                self.desk.note_signed(line)
            else:
                self.desk.miss(line, NOT_FOUND)

    def _add(self, sought: Sought, page: int) -> None:
        try:
            look = self.desk.views.look(page, sought.upright, fields=True)
        except Damaged:
            return
        printed = line_at(sought, look)
        if printed is None:
            return
        for at, (other_page, other) in enumerate(self.found):
            if page == other_page and other.room.box.overlaps(printed.room.box):
                if other.role is not printed.role:
                    self.found[at] = (page, replace(other, disputed=True))
                return
        self.found.append((page, printed))

    def _serving(
        self, sought: Sought, page: int, category: str, claims: Sequence[Claim]
    ) -> list[Claim] | None:
        """Claims on fields at the line that no rule names; empty where a rule names one."""
        frame = self.desk.frame(page)

        def inside(widget: Widget, rooms: Iterator[Box]) -> bool:
            if widget.page != page or widget.rect is None or not widget.shown:
                return False
            box = box_of(widget.rect, sought.upright, frame)
            area = max(box.width * box.height, 0.1)
            return any(_shared(box, room) >= SERVED * area for room in rooms)

        if any(not c.is_date and inside(c.widget, sought.expected()) for c in claims):
            return []
        claimed = {id(claim.widget) for claim in claims}
        free = [widget for widget in self.widgets if id(widget) not in claimed]
        signed = [w for w in free if _for_signature(w) and inside(w, sought.expected())]
        if not signed or sought.role is None:
            return None
        dates = [w for w in free if w.kind == "Tx" and inside(w, sought.expected_dates())]
        rule = SignRule(
            role=sought.role,
            on=(category,),
            fields=("*",),
            date_format=sought.rules[0][0].date_format,
        )
        return [
            Claim(signed[0], rule, category, is_date=False),
            *(Claim(widget, rule, category, is_date=True) for widget in dates[:1]),
        ]

    def _sign(self, page: int, printed: PrintedLine) -> None:
        desk = self.desk
        role = printed.role or Role.TAXPAYER
        line = Line(role, self.categories[page], page, f"printed: {printed.words}")
        if printed.room.taken:
            if desk.signed_in_ink(line):
                desk.note_signed(line)
            else:
                desk.miss(line, "something stands on the line already, and is not written over")
        elif printed.role is None:
            desk.miss(line, WHOSE)
        elif printed.disputed:
            desk.miss(line, "labels of two roles stand at this line")
        else:
            grant = desk.place(line, printed.room.box, printed.upright, fields=True)
            if grant is not None and printed.date is not None:
                self._date(line, printed, printed.date.box, grant)

    def _date(self, line: Line, printed: PrintedLine, room: Box, grant: Grant) -> None:
        desk = self.desk
        if printed.date is None or printed.date.taken:
            return  # a day stands there already
        if gives_no_date(grant):
            desk.miss(line, "a standing grant gives no day: it is left to be written", is_date=True)
            return
        date = printed_day(grant, printed.date_format, f"[[line]] of the {line.role.value}")
        height = min(room.height, DATE_HEIGHT)
        box = Box(room.x0, room.y1 - height, room.x1, room.y1)
        frame = frame_of(box, printed.upright, desk.frame(line.page))
        written = line_runs(frame, date)
        look = desk.look(line, printed.upright, fields=True)
        if written is None:
            desk.miss(line, "the date does not fit on its line", is_date=True)
        elif look is not None and desk.write(line, frame, written, look, box):
            last = desk.placements[-1]
            desk.placements[-1] = replace(last, dated=date)

    def _not_found(self, claims: Sequence[Claim]) -> Iterator[tuple[int, Role, str]]:
        """Last page, role and category of each line that a paper always has and that is not there.

        A paper is a run of pages of one category.
        """
        asked = {Role.TAXPAYER, *self.names}
        there = {(claim.widget.page, claim.rule.role) for claim in claims if not claim.is_date}
        there |= {(page, printed.role or Role.TAXPAYER) for page, printed in self.found}
        pages = enumerate(sorted(self.categories.items()))
        for _, run in groupby(pages, key=lambda one: (one[1][0] - one[0], one[1][1])):
            paper = [page for _, (page, _) in run]
            category = self.categories[paper[0]]
            expected = [
                rule for rule in self.rules if rule.expected and any_matches(rule.on, category)
            ]
            for role in sorted({rule.role for rule in expected} & asked, key=list(Role).index):
                either = {role}
                if any(rule.by_name for rule in expected if rule.role is role):
                    either = {Role.TAXPAYER, Role.SPOUSE}
                if not any((page, one) in there for page in paper for one in either):
                    yield paper[-1], role, category


def _for_signature(widget: Widget) -> bool:
    """Whether a field that no rule names is there for a signature."""
    if widget.kind == "Sig":
        return True
    told = f"{widget.name} {text_of(inherited(widget.annotation, '/TU'))}".casefold()
    return widget.kind == "Tx" and "signature" in told


def _shared(one: Box, other: Box) -> float:
    width = min(one.x1, other.x1) - max(one.x0, other.x0)
    height = min(one.y1, other.y1) - max(one.y0, other.y0)
    return max(0.0, width) * max(0.0, height)

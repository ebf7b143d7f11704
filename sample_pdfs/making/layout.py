"""The furniture that tax forms share: heads, name lines, part bars and rows of lines."""

from dataclasses import dataclass, field

from making.sheet import GREY, WHITE, Blank, Sheet

LEFT = 36.0
RIGHT = 576.0
TREASURY = ("Department of the Treasury", "Internal Revenue Service")


def money(amount: int | None) -> str:
    """Whole dollars as a return shows them; a loss in parentheses, nothing for None."""
    if amount is None:
        return ""
    return f"({-amount:,})" if amount < 0 else f"{amount:,}"


@dataclass
class FieldNames:
    """Names of fields as agencies give them: `f1_01`, `f1_02` and so on; empty for print."""

    prefix: str = ""
    count: int = 0

    def next(self) -> str:
        if not self.prefix:
            return ""
        self.count += 1
        return f"{self.prefix}_{self.count:02d}"


def schedule_head(
    s: Sheet,
    name: str,
    of: str,
    title: str,
    notes: tuple[str, ...],
    sequence: str,
    omb: str = "1545-0074",
    year: int = 2025,
) -> float:
    """The head of a schedule; gives the y of the rule under it."""
    top = 756.0
    s.text(LEFT, top - 10, name, 10.5, "B")
    s.text(LEFT, top - 20, of, 8, "B")
    s.text(LEFT, top - 37, TREASURY[0], 6)
    s.text(LEFT, top - 44, TREASURY[1], 6)
    s.text(300, top - 14, title, 13.5, "B", "c", fit=322)
    y = top - 28
    for note in notes:
        s.text(300, y, note, 7, "B", "c", fit=325)
        y -= 9.5
    s.line(134, top, 134, top - 50)
    s.line(468, top, 468, top - 50)
    s.text(522, top - 9, f"OMB No. {omb}", 7, "R", "c")
    s.line(468, top - 12, RIGHT, top - 12)
    s.text(522, top - 31, str(year), 19, "B", "c")
    s.text(472, top - 40, "Attachment", 6.5)
    s.text(472, top - 47.5, "Sequence No.", 6.5)
    s.text(514, top - 47.5, sequence, 8.5, "B")
    s.line(LEFT, top - 50, RIGHT, top - 50, 1.0)
    return top - 50


def name_line(
    s: Sheet,
    y: float,
    name: str,
    number: str,
    label: str = "Name(s) shown on return",
    number_label: str = "Your social security number",
) -> float:
    """The line under a schedule's head; gives the y of the rule under it."""
    s.text(LEFT, y - 8, label, 6.5)
    s.text(LEFT + 4, y - 19, name, 9, "M", fit=410)
    s.line(456, y, 456, y - 22)
    s.text(460, y - 8, number_label, 6.5, "B", fit=114)
    s.text(516, y - 19, number, 9.5, "M", "c")
    s.line(LEFT, y - 22, RIGHT, y - 22, 1.0)
    return y - 22


def page_head(s: Sheet, form: str, page: int) -> float:
    """The head of a later page of a form: its name, its page; gives the y of the rule."""
    s.text(LEFT, 750, form, 7.5)
    s.text(RIGHT - 12, 750, "Page", 7.5, "R", "r")
    s.text(RIGHT, 750, str(page), 10, "B", "r")
    s.line(LEFT, 746, RIGHT, 746, 1.0)
    return 746


def continued_names(s: Sheet, y: float, name: str, number: str) -> float:
    """Name and number again at the head of a later page."""
    return name_line(
        s,
        y,
        name,
        number,
        "Name(s) shown on return. Name and social security number not required if shown on "
        "other side.",
    )


def page_foot(s: Sheet, y: float, left: str, middle: str, right: str) -> None:
    """The foot of a form's page, under a rule."""
    s.line(LEFT, y, RIGHT, y, 1.0)
    s.text(LEFT, y - 8, left, 6.5, "B")
    s.text(390, y - 8, middle, 6.5, "R", "c")
    s.text(RIGHT, y - 8, right, 7, "B", "r")


def bar(s: Sheet, y: float, part: str, title: str, note: str = "") -> float:
    """A part bar: white on black, then its title; gives the y under it."""
    start = LEFT + 4
    if part:
        s.rect(LEFT, y - 12, 38, 12, fill=(0, 0, 0), lw=0)
        s.text(LEFT + 19, y - 9, part, 8, "B", "c", color=WHITE, fit=34)
        start = LEFT + 45
    used = s.text(start, y - 9, title, 8.5, "B")
    if note:
        s.text(start + 4 + used, y - 9, note, 7, fit=RIGHT - LEFT - 52 - used)
    s.line(LEFT, y, RIGHT, y)
    s.line(LEFT, y - 12, RIGHT, y - 12)
    return y - 12


@dataclass
class Ladder:
    """Rows of numbered lines with amounts at the right.

    `y` is the upper edge of the next row. Amount columns: the outer one ends at the right
    margin; the inner one stands left of it, as on the forms.
    """

    s: Sheet
    y: float
    left: float = LEFT
    text: float = LEFT + 26
    right: float = RIGHT
    amount: float = 66.0
    number: float = 24.0
    step: float = 14.0
    size: float = 7.5
    leading: float = 9.0
    names: FieldNames = field(default_factory=FieldNames)

    @property
    def outer(self) -> float:
        """Left edge of the outer number column."""
        return self.right - self.amount - self.number

    @property
    def inner(self) -> float:
        return self.outer - self.amount - self.number - 6

    def _dots(self, x: float, end: float, base: float) -> None:
        room = end - 6 - (x + 5)
        step = self.s.measure(".   ", self.size)
        if room > step:
            self.s.text(end - 6, base, ".   " * int(room / step) + ".", self.size, align="r")

    def _cell(self, x: float, base: float, height: float, number: str, value: str) -> None:
        bottom = base - 4
        self.s.rect(x, bottom, self.number, height, lw=0.5)
        self.s.text(x + self.number / 2, base, number, 7.5, "B", "c", fit=self.number - 3)
        self.s.rect(x + self.number, bottom, self.amount, height, lw=0.5)
        self.s.blank(
            Blank(
                x + self.number + 1,
                bottom + 0.5,
                self.amount - 2,
                min(height - 1, 12.5),
                value,
                self.names.next(),
                align="r",
                size=9,
            )
        )

    def row(
        self,
        number: str,
        words: str,
        amount: int | None = None,
        *,
        where: str = "outer",
        box: str = "",
        font: str = "R",
        value: str | None = None,
    ) -> float:
        """One line of the form; gives the baseline and so where check boxes go.

        `where` is outer, inner (then the outer columns are shaded), or none.
        `words` may hold line breaks; the amount stands on the last of them.
        """
        s = self.s
        lines = words.split("\n")
        height = self.step + self.leading * (len(lines) - 1)
        base = self.y - self.step + 4
        s.text(self.text - 6, base, number, 7.5, "B", "r", fit=26)
        edge = self.outer if where == "outer" else self.inner
        if where == "none":
            edge = self.outer if self.outer else self.right
        for index, line in enumerate(lines):
            base = self.y - self.step + 4 - self.leading * index
            used = s.text(self.text, base, line, self.size, font, fit=edge - self.text - 2)
        if where != "none":
            self._dots(self.text + used, edge - 2, base)
        bottom = self.y - height
        if where != "outer":
            s.rect(self.outer, bottom, self.number, height, fill=GREY, lw=0)
            s.line(self.outer, bottom, self.outer, self.y)
            s.line(self.outer + self.number, bottom, self.outer + self.number, self.y)
        elif len(lines) > 1:
            s.line(self.outer, bottom, self.outer, self.y)
            s.line(self.outer + self.number, bottom, self.outer + self.number, self.y)
        shown = money(amount) if value is None else value
        label = box or number
        if where == "outer":
            self._cell(self.outer, base, self.step, label, shown)
        elif where == "inner":
            self._cell(self.inner, base, self.step, label, shown)
        self.y = bottom
        return base


def digits(number: str) -> str:
    """A number without its separators, as a comb takes it."""
    return "".join(c for c in number if c.isalnum())

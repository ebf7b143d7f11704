"""Pages that belong together: one form, one letter, one scan."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field

from packets.intake.records import EvidenceKind, InventoryPage

Form = tuple[InventoryPage, ...]
"""The pages of one form, letter or scan, in their order; never empty."""
_FormKey = tuple[int, str | None, str]
"""Document, category, jurisdiction: pages of one form share all three."""


@dataclass
class _Form:
    """The pages of one form, while they are gathered."""

    title: str = ""
    tax_year: int | None = None
    numbers: set[int] = field(default_factory=set)
    """The form's own page numbers that are here already."""
    pages: list[InventoryPage] = field(default_factory=list)

    def takes(self, page: InventoryPage) -> bool:
        """Whether title and year allow this to be another page of the same form."""
        same_title = not page.title or not self.title or page.title == self.title
        same_year = not page.tax_year or not self.tax_year or page.tax_year == self.tax_year
        return same_title and same_year

    def add(self, page: InventoryPage) -> None:
        self.pages.append(page)
        self.title = self.title or page.title
        self.tax_year = self.tax_year or page.tax_year
        if page.form_page is not None:
            self.numbers.add(page.form_page)

    def in_form_order(self) -> Form:
        """By the form's own page numbers; a page without one stays behind its neighbour."""
        keyed: list[tuple[int, InventoryPage]] = []
        number = 0
        for page in self.pages:
            number = page.form_page if page.form_page is not None else number
            keyed.append((number, page))
        return tuple(page for _, page in sorted(keyed, key=lambda pair: pair[0]))


def group_pages(pages: Iterable[InventoryPage]) -> tuple[Form, ...]:
    """Pages, in folder order, as forms: each page once, forms in the order they begin.

    A form's pages stay together even where other pages lie between them. A page number
    that a form has already begins a second form, so two Schedules C stay two.
    """
    gatherer = _Gatherer()
    for page in pages:
        gatherer.place(page)
    return tuple(form.in_form_order() for form in gatherer.forms)


class _Gatherer:
    def __init__(self) -> None:
        self.forms: list[_Form] = []
        self._numbered: defaultdict[_FormKey, list[_Form]] = defaultdict(list)
        self._latest: tuple[_Form, InventoryPage] | None = None
        self._searched: defaultdict[tuple[_FormKey, int], int] = defaultdict(int)
        """For a form page, how many forms of the same key are known to have it."""

    def place(self, page: InventoryPage) -> None:
        """Put a page to its form, or begin one with it."""
        form = self._home_of(page)
        if form is None:
            form = _Form()
            self.forms.append(form)
        if page.form_page is not None and not form.numbers:
            self._numbered[_key(page)].append(form)
        form.add(page)
        self._latest = (form, page)

    def _home_of(self, page: InventoryPage) -> _Form | None:
        neighbour = self._neighbour_of(page)
        if page.form_page is None:
            # Without a number a page follows its neighbour, unless its own title begins a form.
            return None if page.evidence.kind is EvidenceKind.TITLE else neighbour
        if neighbour is not None and page.form_page not in neighbour.numbers:
            return neighbour
        return self._form_without(page.form_page, page)

    def _neighbour_of(self, page: InventoryPage) -> _Form | None:
        """The form of the page just before this one in the file, where the two can be one."""
        if self._latest is None:
            return None
        form, before = self._latest
        follows = _key(before) == _key(page) and before.number == page.number - 1
        return form if follows and form.takes(page) else None

    def _form_without(self, number: int, page: InventoryPage) -> _Form | None:
        """The earliest form of the same key that still lacks this page number."""
        forms = self._numbered[_key(page)]
        place = (_key(page), number)
        while self._searched[place] < len(forms) and number in forms[self._searched[place]].numbers:
            self._searched[place] += 1
        for form in forms[self._searched[place] :]:
            if number not in form.numbers and form.takes(page):
                return form
        return None


def _key(page: InventoryPage) -> _FormKey:
    return (page.document, page.category, page.jurisdiction)

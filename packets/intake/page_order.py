"""What a person should look at: pages out of order, missing pages, other years."""

from collections import Counter
from collections.abc import Iterable, Iterator

from packets.intake.page_ranges import page_range_text
from packets.intake.records import EvidenceKind, InventoryPage, SourceDocument
from packets.intake.titles import known_titles


def order_notes(
    documents: tuple[SourceDocument, ...], pages: tuple[InventoryPage, ...], tax_year: int
) -> Iterator[str]:
    """Sentences about forms whose pages are missing, out of order or of another year."""
    for place, document in enumerate(documents):
        own = [page for page in pages if page.document == place]
        for category in dict.fromkeys(page.category for page in own):
            form = known_titles().of(category) if category else None
            if form is None:
                continue
            mine = [page for page in own if page.category == category]
            if form.pages > 1:
                yield from _set_notes(document.file, form.title, form.pages, mine)
            if form.heads:
                yield from _year_notes(document.file, mine, tax_year, ahead=form.year_ahead)


def _set_notes(file: str, title: str, pages: int, found: list[InventoryPage]) -> Iterator[str]:
    """A form of two pages has as many first as second pages, each after its first."""
    told = [page for page in found if page.evidence.kind is EvidenceKind.TITLE]
    counts = Counter(page.form_page for page in told if page.form_page)
    most = max((counts[number] for number in range(1, pages + 1)), default=0)
    for number in range(1, pages + 1):
        lacking = most - counts[number]
        if most and lacking:
            where = "once" if lacking == 1 else f"{lacking} times"
            yield f"{file}: {title} page {number} is missing ({where})"
    if most and all(counts[number] == most for number in range(1, pages + 1)):
        order = [page for page in told if page.form_page and page.form_page <= pages]
        wanted = [number for _ in range(most) for number in range(1, pages + 1)]
        if [page.form_page for page in order] != wanted:
            places = page_range_text(tuple(page.number for page in order))
            yield f"{file}: the pages of {title} are out of order (pages {places} of the file)"


def _year_notes(
    file: str, found: Iterable[InventoryPage], tax_year: int, *, ahead: bool
) -> Iterator[str]:
    wanted = {tax_year, tax_year + 1} if ahead else {tax_year}
    years: dict[int, list[InventoryPage]] = {}
    for page in found:
        if page.tax_year is not None and page.tax_year not in wanted:
            years.setdefault(page.tax_year, []).append(page)
    for year, others in sorted(years.items()):
        places = page_range_text(tuple(page.number for page in others))
        yield (
            f"{file} page {places}: {others[0].title or others[0].category} is for {year}, "
            f"the engagement is for {tax_year}"
        )

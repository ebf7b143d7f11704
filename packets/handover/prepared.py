"""Documents made ready for masking: signed where the recipe asks, flattened, looked at once."""

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import partial

from packets.base.progress import Progress, Step
from packets.handover.already_signed import without_broken_signatures
from packets.handover.blanked_regions import blank_regions
from packets.handover.cut_numbers import Sight, cut_numbers
from packets.handover.exceptions import Exceptions, exceptions
from packets.handover.labels_beside import labels_beside
from packets.handover.masked_elsewhere import masked_endings
from packets.identifiers.kinds import KnownNumber
from packets.intake.page_corrections import Region, places_without_number, regions_to_blank
from packets.intake.records import Inventory
from packets.masking.flatten import Flattened, flatten
from packets.masking.survey import Survey, learned, survey_document
from packets.reading.ocr import OcrReader
from packets.reading.records import FirstLook
from packets.recipe.model import Recipe, Role
from packets.signatures.form_figures import figures_on_page
from packets.signatures.grants import GrantBook
from packets.signatures.known_lines import known_lines
from packets.signatures.placing import sign_document
from packets.signatures.records import SignedDocument


@dataclass(frozen=True)
class PreparedDocument:
    """One source after signing and flattening, with what the survey saw."""

    index: int
    """Index into `Inventory.documents`."""
    signed: SignedDocument
    pdf: bytes
    notes: tuple[str, ...]
    survey: Survey
    blanked: tuple[Region, ...] = ()
    """Regions that were taken out because engagement.toml asks for it."""
    not_blanked: tuple[str, ...] = ()
    """Regions that could not be cleared, each with its page, in words; any holds the packet."""


@dataclass(frozen=True)
class Prepared:
    """All documents of the folder, and every number that is known by now."""

    documents: tuple[PreparedDocument, ...]
    known: tuple[KnownNumber, ...]
    exceptions: Exceptions | None = None
    """What a person says is no number; None where nobody says so of anything."""


def prepare(
    inventory: Inventory,
    recipe: Recipe,
    grants: GrantBook,
    given: Iterable[KnownNumber],
    ocr: OcrReader,
    today: dt.date,
    progress: Progress,
) -> Prepared:
    """Sign, flatten and survey every document of the folder.

    Documents that stay out are looked at as well: a number that a label names
    in any of them is hunted in all.
    """
    total = len(inventory.documents)
    drawn: list[tuple[SignedDocument, Flattened]] = []
    for index, source in enumerate(inventory.documents):
        progress(Step("signing and flattening", source.file, index, total))
        signed = _signed(inventory, index, recipe, grants, ocr, today)
        drawn.append((signed, flatten(signed.pdf)))

    def tell(index: int) -> None:
        progress(Step("looking for numbers", inventory.documents[index].file, index, total))

    def look(index: int) -> Survey:
        pdf = drawn[index][1].pdf
        return survey_document(pdf, ocr, looks=_looks(inventory, index, pdf))

    surveys = ocr.shared_out(range(total), look, tell)
    looked_at = [Sight(flat.pdf, survey) for (_, flat), survey in zip(drawn, surveys, strict=True)]
    prepared = [
        _blanked(inventory, recipe, index, signed, flat, surveys[index], ocr)
        for index, (signed, flat) in enumerate(drawn)
    ]
    return _with_known(inventory, recipe, tuple(prepared), tuple(given), looked_at)


def _blanked(
    inventory: Inventory,
    recipe: Recipe,
    index: int,
    signed: SignedDocument,
    flat: Flattened,
    survey: Survey,
    ocr: OcrReader,
) -> PreparedDocument:
    """Without the regions that go whole; what stood in them is hunted elsewhere all the same."""
    wanted = regions_to_blank(inventory, index) if recipe.audience.masked else ()
    blanked = blank_regions(flat.pdf, wanted)
    if wanted:
        survey = survey_document(blanked.pdf, ocr)
    return PreparedDocument(
        index, signed, blanked.pdf, flat.notes, survey, blanked.regions, blanked.faults
    )


def _looks(inventory: Inventory, index: int, pdf: bytes) -> tuple[FirstLook | None, ...]:
    """What the inventory saw of the pages, where nothing was drawn into them since."""
    if pdf != inventory.documents[index].pdf:
        return ()
    return tuple(page.look for page in inventory.pages if page.document == index)


def _signed(
    inventory: Inventory,
    index: int,
    recipe: Recipe,
    grants: GrantBook,
    ocr: OcrReader,
    today: dt.date,
) -> SignedDocument:
    source = inventory.documents[index]
    pages = [page for page in inventory.pages if page.document == index]
    signed = sign_document(
        source.pdf,
        index,
        {page.number: page.category for page in pages if page.category},
        recipe.sign,
        grants,
        tax_year=inventory.engagement.engagement.tax_year,
        today=today,
        lines=(*recipe.line, *known_lines()),
        names=names_of(inventory),
        source_sha256=source.sha256,
        figures=partial(figures_on_page, source.pdf, ocr),
        ocr=ocr,
        printed={page.number: page.letters for page in pages},
    )
    return without_broken_signatures(signed, source)


def _with_known(
    inventory: Inventory,
    recipe: Recipe,
    documents: tuple[PreparedDocument, ...],
    given: tuple[KnownNumber, ...],
    looked_at: Sequence[Sight],
) -> Prepared:
    """With every number that is known by now, and what a person says is none."""
    surveys_before = [sight.survey for sight in looked_at]
    known = (*given, *learned(surveys_before))
    documents = tuple(
        _uncut(inventory, recipe, document, looked_at[document.index], known)
        for document in documents
    )
    regions = {
        document.index: places
        for document in documents
        if recipe.audience.masked and (places := places_without_number(inventory, document.index))
    }
    if not regions:
        return Prepared(documents, known)
    surveys = {document.index: document.survey for document in documents}
    endings = frozenset[str]().union(*(masked_endings(it.pdf, it.survey) for it in looked_at))
    before = dict(enumerate(surveys_before))
    found = exceptions(surveys, regions, given, before, endings)
    labelled = [
        (index, f"page {one.page}: a label stands beside this number, so it stays masked")
        for index, every in found.of.items()
        for one in labels_beside(looked_at[index].pdf, every)
    ]
    return Prepared(documents, known, replace(found, refused=(*found.refused, *labelled)))


def _uncut(
    inventory: Inventory,
    recipe: Recipe,
    document: PreparedDocument,
    before: Sight,
    known: Sequence[KnownNumber],
) -> PreparedDocument:
    """With a reason to hold wherever a region cuts through a number."""
    wanted = regions_to_blank(inventory, document.index) if recipe.audience.masked else ()
    if not wanted:
        return document
    after = Sight(document.pdf, document.survey)
    cut = cut_numbers(before, after, wanted, known, recipe.mask.policy())
    return replace(document, not_blanked=(*document.not_blanked, *cut))


def names_of(inventory: Inventory) -> dict[Role, str]:
    """Whose return it is: the taxpayer's name, and the spouse's where there is one."""
    return {
        Role(person.role): person.name
        for person in inventory.engagement.person
        if person.role in (Role.TAXPAYER.value, Role.SPOUSE.value)
    }

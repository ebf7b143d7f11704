"""From the page plan and the prepared documents to masked documents, and on to the binding."""

from collections.abc import Mapping

from packets.assembly.records import Binding, BoundPages, BoundPart, RecordEntry
from packets.base.progress import Progress, Step
from packets.handover.kept_masked import shelf_at_hand
from packets.handover.prepared import Prepared
from packets.intake.records import Inventory
from packets.masking.mask_document import MaskOrder, mask_document
from packets.masking.records import MaskedDocument
from packets.reading.ocr import OcrReader
from packets.recipe.check_texts import filled_in
from packets.recipe.model import Recipe
from packets.selection.records import PagePlan, PlannedDocument

MaskedDocuments = Mapping[int, tuple[tuple[int, ...], MaskedDocument]]
"""By document index: the pages that were taken, in the order of the result, and the result."""


def mask_all(
    prepared: Prepared, plan: PagePlan, recipe: Recipe, ocr: OcrReader, progress: Progress
) -> MaskedDocuments:
    """Mask and rebuild every document that the plan uses, each once, with just its pages."""
    policy = recipe.mask.policy() if recipe.audience.masked else None
    wanted: dict[int, list[int]] = {}
    for page in plan.pages:
        wanted.setdefault(page.document, []).append(page.number)
    blank = {(page.document, page.number) for page in plan.pages if page.blank_numbers}
    masked = {}
    for done, (index, numbers) in enumerate(wanted.items()):
        progress(Step("masking", f"document {done + 1}", done, len(wanted)))
        document = prepared.documents[index]
        order = MaskOrder(
            pdf=document.pdf,
            survey=document.survey,
            pages=tuple(number - 1 for number in numbers),
            known=prepared.known,
            policy=policy,
            blank=frozenset(number - 1 for at, number in blank if at == index),
        )
        masked[index] = (tuple(numbers), _masked_once(order, ocr))
    return masked


def _masked_once(order: MaskOrder, ocr: OcrReader) -> MaskedDocument:
    """What an earlier build has made of the same order, where that was kept; else made now."""
    shelf = shelf_at_hand()
    if shelf is None:
        return mask_document(order, ocr)
    found = shelf.find(order)
    if found is None:
        found = mask_document(order, ocr)
        shelf.keep(order, found)
    return found


def binding_of(
    inventory: Inventory,
    plan: PagePlan,
    recipe: Recipe,
    masked: MaskedDocuments,
    record: tuple[RecordEntry, ...] = (),
) -> Binding:
    """Everything assembly needs to know, without paths or numbers."""
    facts = inventory.engagement.engagement
    return Binding(
        title=filled_in(recipe.title, facts.tax_year),
        household=facts.household,
        tax_year=facts.tax_year,
        engagement_id=facts.id,
        audience=recipe.audience.value,
        parts=tuple(
            BoundPart(
                part.heading,
                tuple(
                    bound for document in part.documents for bound in _bound_pages(document, masked)
                ),
            )
            for part in plan.parts
        ),
        cover_sheet=recipe.cover.sheet,
        dividers=recipe.cover.dividers,
        stamp_text=recipe.stamp.text,
        page_numbers=recipe.stamp.page_numbers,
        masked=recipe.audience.masked,
        encrypted=recipe.audience.encrypted,
        record=record,
    )


def _bound_pages(document: PlannedDocument, masked: MaskedDocuments) -> list[BoundPages]:
    """The pages of one planned document; one entry for each source it draws on."""
    bound: list[BoundPages] = []
    sources = dict.fromkeys(page.document for page in document.pages)
    for index in sources:
        taken, result = masked[index]
        places = {number: at for at, number in enumerate(taken, start=1)}
        numbers = [places[page.number] for page in document.pages if page.document == index]
        bound.append(BoundPages(document.title, result.pdf, tuple(numbers)))
    return bound

"""The pages of one document: joined, and overruled by what a person said."""

from collections.abc import Iterator

from packets.intake.classify import PageGuess
from packets.intake.continued import ReadPage, with_continued
from packets.intake.document_help import Told
from packets.intake.records import Evidence, EvidenceKind, InventoryPage, SourceDocument
from packets.intake.titles import KnownTitle, known_titles


def pages_of_document(
    place: int,
    document: SourceDocument,
    subfolder: str,
    told: Told,
    read: tuple[ReadPage, ...],
) -> Iterator[InventoryPage]:
    """Every page of `document`, which is number `place` of the inventory, as they were read.

    What `told` says of a page counts first, then the sub-folder's name, then
    the page's own title, then the page before it.
    """
    for number, (guess, joined) in enumerate(with_continued(read), start=1):
        given = told.get((document.file, number), "")
        category = given or subfolder or guess.category
        if given:
            evidence = Evidence(EvidenceKind.ENGAGEMENT, "named in engagement.toml")
        elif subfolder:
            evidence = Evidence(EvidenceKind.FOLDER, f"lies in documents/{subfolder}")
        elif guess.category is None:
            evidence = Evidence(EvidenceKind.NONE, guess.words, sure=False)
        else:
            kind = EvidenceKind.CONTINUED if joined else EvidenceKind.TITLE
            evidence = Evidence(kind, guess.words, guess.sure)
        yield _page(place, number, category, evidence, guess, read[number - 1])


def _page(
    place: int,
    number: int,
    category: str | None,
    evidence: Evidence,
    guess: PageGuess,
    read: ReadPage,
) -> InventoryPage:
    """The record; where somebody named the category, the form's own facts come from it."""
    own = guess.category == category
    known = known_titles().of(category) if category else None
    plain = known or KnownTitle(category="unknown", title="")
    return InventoryPage(
        document=place,
        number=number,
        category=category,
        evidence=evidence,
        title=guess.title if own else plain.title,
        tax_year=guess.tax_year,
        jurisdiction=guess.jurisdiction if own else "",
        sequence=guess.sequence if own else plain.sequence,
        form_page=guess.form_page,
        read_by=read.read_by,
        to_be_filed=plain.to_be_filed or guess.to_be_filed,
        letters=read.letters,
        look=read.look,
    )

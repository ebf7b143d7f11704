"""Pictures of each signing place with the image in it, drawn from the masked page.

They show a client's data: readable by their owner alone, in the client folder unless
the user names another.
"""

import datetime as dt
import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import count
from pathlib import Path

import pymupdf

from packets.base.errors import Damaged, UsageError
from packets.base.files import write_durably
from packets.base.geometry import Box
from packets.base.progress import Progress, Step, silent
from packets.handover.grants_kept import grants_of
from packets.handover.holds import verdict_holds
from packets.handover.out_folder import refuse_sources
from packets.handover.prepared import Prepared, PreparedDocument, prepare
from packets.handover.preview_records import PlacePicture, PreviewReport, PreviewRequest
from packets.handover.signature_lines import missing_signatures, role_lines
from packets.identifiers.kinds import MaskPolicy
from packets.intake.client_folder import open_client_folder
from packets.intake.inventory import take_inventory
from packets.intake.records import Inventory
from packets.intake.titles import known_categories
from packets.masking.mask_document import MaskOrder, mask_document
from packets.outbound.check import check_pdf
from packets.reading.engine import quiet_engine
from packets.reading.ocr import OcrReader
from packets.recipe.shelf import find_recipe
from packets.sealing.storage_faults import storage_errors_of
from packets.selection.plan import plan_pages
from packets.selection.records import PagePlan
from packets.signatures.known_lines import known_places
from packets.signatures.records import Placement

FOLDER = "previews"
PER_POINT = 2.0
ABOVE, BELOW = 90.0, 50.0
"""Points of the page around a place that are shown; its whole width always."""
OURS = re.compile(r"\d{2,}-[a-z0-9-]+-page-\d+\.png")


def preview(request: PreviewRequest, progress: Progress = silent) -> PreviewReport:
    """Write a picture of every place where the packet would be signed; builds nothing.

    Raises what `packets plan` raises, and UsageError for a folder of sources or keys.
    """
    quiet_engine()
    loaded = find_recipe(request.recipe, known_categories(), known_places())
    folder = open_client_folder(request.client)
    grants = grants_of(folder.root, request.office)
    target = request.out or folder.root / FOLDER / loaded.recipe.name
    refuse_sources(folder.root, target, "a preview")
    today = dt.datetime.now(dt.UTC).date()
    with OcrReader() as ocr:
        pages = take_inventory(folder, ocr, progress)
        chosen = plan_pages(loaded.recipe, pages)
        prepared = prepare(pages, loaded.recipe, grants, folder.known, ocr, today, progress)
        policy = loaded.recipe.mask.policy() if loaded.recipe.audience.masked else MaskPolicy()
        shown = _Shown(pages, chosen, prepared, policy)
        with storage_errors_of(target):
            if request.out is None:
                target.parent.mkdir(mode=0o700, exist_ok=True)
            target.mkdir(mode=0o700, parents=True, exist_ok=True)
            if request.out is None:
                _sweep(target)
            pictures = tuple(shown.pictures(target, ocr, progress))
    missing = missing_signatures(pages, prepared, chosen)
    return PreviewReport(
        folder=target,
        pictures=pictures,
        lines=role_lines(pages, prepared, chosen),
        open_lines=tuple(
            f"{line.role} on {pages.documents[line.document].file} page {line.page}: {line.why}"
            for line, _ in missing
        ),
        unshown=tuple(shown.unshown),
    )


class _Shown:
    """The places of one packet, each drawn from the masked copy of its page."""

    def __init__(
        self, pages: Inventory, chosen: PagePlan, prepared: Prepared, policy: MaskPolicy
    ) -> None:
        self.pages, self.prepared, self.policy = pages, prepared, policy
        self.planned = {(page.document, page.number): page.category for page in chosen.pages}
        self.unshown: list[str] = []

    def pictures(self, target: Path, ocr: OcrReader, progress: Progress) -> Iterator[PlacePicture]:
        """Draw and write all pictures, in the order of the documents."""
        numbers = count(1)
        for document in self.prepared.documents:
            places = [
                place
                for place in sorted(document.signed.placements, key=_down_the_page)
                if (place.document, place.page) in self.planned
            ]
            if not places:
                continue
            file = self.pages.documents[document.index].file
            progress(Step("drawing signing places", file))
            copy = self._masked(document, sorted({place.page for place in places}), file, ocr)
            if copy is None:
                continue
            for place in places:
                category = self.planned[place.document, place.page]
                name = f"{next(numbers):02d}-{category}-{place.role}-page-{place.page}.png"
                write_durably(target / name, copy.picture(place.page, place.box))
                yield PlacePicture(target / name, file, place.page, place.role, place.grant)

    def _masked(
        self, document: PreparedDocument, numbers: list[int], file: str, ocr: OcrReader
    ) -> "_MaskedPages | None":
        """The masked copy of some pages; None, and noted, where a number may be left in it."""
        order = MaskOrder(
            pdf=document.pdf,
            survey=document.survey,
            pages=tuple(number - 1 for number in numbers),
            known=self.prepared.known,
            policy=self.policy,
        )
        masked = mask_document(order, ocr)
        verdict = check_pdf(
            masked.pdf,
            name=file,
            passphrase=None,
            known=self.prepared.known,
            policy=self.policy,
        )
        held = (*masked.unread, *verdict_holds(verdict))
        self.unshown += [f"{file}: {words}" for words in held]
        return None if held else _MaskedPages(masked.pdf, tuple(numbers))


@dataclass(frozen=True)
class _MaskedPages:
    """A masked copy, and the numbers that its pages had."""

    pdf: bytes
    numbers: tuple[int, ...]

    def picture(self, page: int, box: Box) -> bytes:
        """A PNG of the page around a place."""
        try:
            with pymupdf.open(stream=self.pdf, filetype="pdf") as document:
                drawn = document[self.numbers.index(page)]
                around = pymupdf.Rect(0, box.y0 - ABOVE, drawn.rect.width, box.y1 + BELOW)
                pixels = drawn.get_pixmap(
                    matrix=pymupdf.Matrix(PER_POINT, PER_POINT),
                    clip=around & drawn.rect,
                    alpha=False,
                )
                return bytes(pixels.tobytes("png"))
        except (pymupdf.FileDataError, pymupdf.mupdf.FzErrorBase, RuntimeError, ValueError):
            raise Damaged("this page cannot be drawn", where=f"page {page}") from None


def _down_the_page(place: Placement) -> tuple[int, float, float]:
    return place.page, place.box.y0, place.box.x0


def _sweep(folder: Path) -> None:
    """Take away the pictures of an earlier run, so that none shows what is no longer so."""
    if folder.is_symlink():
        raise UsageError("this is a link, and previews are not written through one", where=FOLDER)
    for path in folder.iterdir():
        if OURS.fullmatch(path.name):
            path.unlink()

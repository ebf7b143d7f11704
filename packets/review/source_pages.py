"""Pages of the client folder that are in no packet, made fit for a screen: masked and checked.

Source pages hold full numbers, so none is drawn as it lies there. They go the way of
a client's packet (flattened, every kind masked, rebuilt by list, checked by the other
readers), each document's asked pages together; where that holds, page by page, so
that one bad scan hides no page but itself.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from packets.base.errors import PacketsError
from packets.base.geometry import Box
from packets.base.progress import Progress, Step
from packets.handover.blanked_regions import blank_regions
from packets.handover.cut_numbers import Sight, cut_numbers
from packets.handover.holds import verdict_holds
from packets.identifiers.kinds import ALL_KINDS, KnownNumber, MaskPolicy
from packets.intake.client_folder import ClientFolder, open_client_folder
from packets.intake.page_corrections import Region, file_named
from packets.intake.records import SourceDocument
from packets.intake.take_in import take_in
from packets.masking.flatten import flatten
from packets.masking.mask_document import MaskOrder, mask_document
from packets.masking.survey import Survey, learned, survey_document
from packets.outbound.check import check_pdf
from packets.reading.engine import quiet_engine
from packets.reading.ocr import OcrReader
from packets.sealing.number_free import plain_text

MOST_ALONE = 40
"""Pages of one document that are tried one by one; behind that they stay unshown."""

Wanted = Mapping[str, Sequence[int]]
"""Page numbers from 1, by the name of the file in the client folder."""


@dataclass(frozen=True)
class MaskedPage:
    """One source page, or why it cannot be shown."""

    file: str
    page: int
    pdf: bytes = field(repr=False)
    """A masked document that holds it; empty where it cannot be shown."""
    at: int = 0
    """Its place in that document, from 1."""
    why: str = ""


@dataclass(frozen=True)
class _Looked:
    """A document after its survey."""

    source: SourceDocument
    flat: bytes = field(repr=False)
    """Flattened, the places that a person hid taken out."""
    survey: Survey = field(repr=False)
    before: Survey = field(repr=False)
    """Of the document with these places: what stood there is hunted elsewhere."""
    faults: tuple[str, ...] = ()
    """Places that could not be taken out."""


def masked_source_pages(client: Path, wanted: Wanted, progress: Progress) -> tuple[MaskedPage, ...]:
    """The wanted pages without their full numbers, as a client's packet would hold them.

    Every document of the folder is surveyed: a number that a label names in one of
    them is hunted in all. Raises what the opening of the client folder raises.
    """
    quiet_engine()
    folder = open_client_folder(client)
    with OcrReader() as ocr:
        looked = _surveyed(folder, ocr, progress)
        known = (*folder.known, *learned([one.before for one in looked.values()]))
        shown: list[MaskedPage] = []
        for done, (file, pages) in enumerate(wanted.items()):
            progress(Step("masking for the screen", file, done, len(wanted)))
            if file in looked:
                shown += _shown(looked[file], sorted(set(pages)), known, ocr)
            else:
                shown += _unshown(file, pages, "the file is not in documents/ any more")
    return tuple(shown)


def _surveyed(folder: ClientFolder, ocr: OcrReader, progress: Progress) -> dict[str, _Looked]:
    looked = {}
    for done, found in enumerate(folder.files):
        progress(Step("looking for numbers", found.name, done, len(folder.files)))
        try:
            source = take_in(found.path, name=found.name, passwords=folder.passwords)
            # Asked for by the name that manifests print, which shows no number.
            looked[plain_text(found.name)] = _looked(folder, source, ocr)
        except PacketsError:
            continue  # a build names it; here it only cannot be shown
    return looked


def _looked(folder: ClientFolder, source: SourceDocument, ocr: OcrReader) -> _Looked:
    flat = flatten(source.pdf).pdf
    before = survey_document(flat, ocr)
    hidden = [
        Region(entry.page, Box(*entry.box), entry.why)
        for entry in folder.engagement.blank
        if file_named(entry.file) == source.file
    ]
    if not hidden:
        return _Looked(source, flat, before, before)
    blanked = blank_regions(flat, hidden)
    after = survey_document(blanked.pdf, ocr)
    one, other = Sight(flat, before), Sight(blanked.pdf, after)
    known = (*folder.known, *learned([before]))
    cut = cut_numbers(one, other, hidden, known, MaskPolicy(kinds=ALL_KINDS))
    return _Looked(source, blanked.pdf, after, before, (*blanked.faults, *cut))


def _shown(
    looked: _Looked, pages: list[int], known: tuple[KnownNumber, ...], ocr: OcrReader
) -> list[MaskedPage]:
    """All pages together, or each for itself."""
    there = [page for page in pages if 1 <= page <= looked.source.pages]
    together = _masked(looked, there, known, ocr)
    if isinstance(together, bytes):
        return [
            MaskedPage(plain_text(looked.source.file), page, together, at)
            for at, page in enumerate(there, start=1)
        ]
    alone: list[MaskedPage] = []
    for page in there:
        tried = _masked(looked, [page], known, ocr) if page in there[:MOST_ALONE] else together
        if isinstance(tried, bytes):
            alone.append(MaskedPage(plain_text(looked.source.file), page, tried, 1))
        else:
            alone += _unshown(plain_text(looked.source.file), [page], tried)
    return alone


def _masked(
    looked: _Looked, pages: list[int], known: tuple[KnownNumber, ...], ocr: OcrReader
) -> bytes | str:
    """A masked document of these pages, or why there is none."""
    policy = MaskPolicy(kinds=ALL_KINDS)
    file = plain_text(looked.source.file)
    if looked.faults:
        return looked.faults[0]
    try:
        order = MaskOrder(looked.flat, looked.survey, tuple(p - 1 for p in pages), known, policy)
        masked = mask_document(order, ocr)
        verdict = check_pdf(masked.pdf, name=file, passphrase=None, known=known, policy=policy)
    except PacketsError as error:
        return error.what
    held = (*masked.unread, *verdict_holds(verdict))
    return held[0] if held else masked.pdf


def _unshown(file: str, pages: Sequence[int], why: str) -> list[MaskedPage]:
    return [MaskedPage(file, page, b"", 0, why) for page in pages]

"""All that the manifest says, gathered from what the stations reported."""

import datetime as dt
import platform
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from packets import __version__
from packets.assembly.records import AssembledPacket
from packets.base.canonical import sha256_hex
from packets.base.installed import version_of
from packets.handover.masked import MaskedDocuments
from packets.handover.prepared import Prepared
from packets.handover.signature_lines import missing_signatures
from packets.intake.records import Inventory
from packets.outbound.records import Verdict
from packets.proving.records import Proof
from packets.recipe.check_texts import filled_in
from packets.recipe.shelf import LoadedRecipe
from packets.sealing.packet_names import packet_name
from packets.sealing.records import (
    LetThroughLine,
    MaskLine,
    OpenSignatureLine,
    OriginLine,
    PacketFacts,
    ProofLine,
    ReaderLine,
    SignatureLine,
    SourceLine,
    SourceSignatureLine,
)
from packets.sealing.retention import retention_lines
from packets.selection.records import PagePlan

LIBRARIES = (
    "pikepdf",
    "pillow",
    "pymupdf",
    "pypdfium2",
    "reportlab",
    "tesserocr",
    "zxing-cpp",
)
NOT_ASKED = "not asked"
REGION = "region"
"""Kind of a mask that a person asked for: all that stood there is gone."""

PacketPages = Mapping[tuple[int, int], int]
"""Packet page number of each (document index, page number) that went in."""


@dataclass(frozen=True)
class Made:
    """What the stations made after the plan; missing where the run stopped before."""

    prepared: Prepared | None = None
    masked: MaskedDocuments | None = None
    assembled: AssembledPacket | None = None
    verdict: Verdict | None = None
    proof: Proof | None = None
    inputs: tuple[tuple[str, str], ...] = ()
    """The files beside the documents when the run began (`input_files.py`)."""


def gather(
    inventory: Inventory, plan: PagePlan, recipe: LoadedRecipe, made: Made, now: dt.datetime
) -> PacketFacts:
    """The facts of a run, however far it came."""
    engagement = inventory.engagement.engagement
    assembled = made.assembled
    places = packet_pages(plan, assembled) if assembled else {}
    return PacketFacts(
        packet=packet_name(engagement.id, recipe.recipe.name),
        title=filled_in(recipe.recipe.title, engagement.tax_year),
        pages=assembled.pages if assembled else 0,
        content_sha256=sha256_hex(assembled.pdf) if assembled else "",
        recipe_name=recipe.recipe.name,
        recipe_sha256=recipe.sha256,
        engagement_id=engagement.id,
        tax_year=engagement.tax_year,
        built_at=now,
        sources=_sources(inventory, plan),
        parts=tuple((p.heading, p.first_page, p.pages) for p in assembled.parts)
        if assembled
        else (),
        masks=_masks(made, places),
        signatures=_signatures(made.prepared, places),
        verdict=made.verdict.judgement.value if made.verdict else NOT_ASKED,
        readers=tuple(
            ReaderLine(reader.name, reader.version, reader.pages, reader.findings)
            for reader in (made.verdict.readers if made.verdict else ())
        ),
        proof=tuple(
            ProofLine(row.place, row.found) for row in (made.proof.rows if made.proof else ())
        ),
        retention=retention_lines(
            presented_on=engagement.presented_on,
            due_on=engagement.due_on,
            extended_due_on=engagement.extended_due_on,
            received_on=engagement.received_on,
        ),
        tools=_tools(),
        inputs=made.inputs,
        recipe_given=recipe.given,
        review=recipe.recipe.release.review,
        origins=tuple(origin_runs(places)),
        open_lines=open_lines(inventory, made.prepared, plan),
        let_through=tuple(_let_through(made, places)),
    )


def packet_pages(plan: PagePlan, assembled: AssembledPacket) -> PacketPages:
    """Where each planned page lies in the packet."""
    documents = [document for part in plan.parts for document in part.documents]
    numbers = iter(number for pages in assembled.page_of for number in pages)
    places: dict[tuple[int, int], int] = {}
    for document in documents:
        for index in dict.fromkeys(page.document for page in document.pages):
            for page in document.pages:
                if page.document == index:
                    places[page.document, page.number] = next(numbers)
    return places


def _sources(inventory: Inventory, plan: PagePlan) -> tuple[SourceLine, ...]:
    used = [page.document for page in plan.pages]
    return tuple(
        SourceLine(
            document.file,
            document.sha256,
            document.pages,
            used.count(index),
            tuple((out.pages, out.why) for out in plan.left_out if out.document == index),
            tuple(
                SourceSignatureLine(one.field, one.signer, one.signed_at, one.verdict.value)
                for one in document.signatures
            ),
        )
        for index, document in enumerate(inventory.documents)
    )


def _masks(made: Made, places: PacketPages) -> tuple[MaskLine, ...]:
    lines = [
        MaskLine(mask.kind.value, mask.shown, places[index, mask.page], mask.place.rounded())
        for index, (_, document) in (made.masked or {}).items()
        for mask in document.masks
        if (index, mask.page) in places
    ]
    lines += [
        MaskLine(REGION, "", places[document.index, region.page], region.box.rounded())
        for document in (made.prepared.documents if made.prepared and made.masked else ())
        for region in document.blanked
        if (document.index, region.page) in places
    ]
    return tuple(sorted(lines, key=lambda line: (line.page, line.place[1], line.place[0])))


def origin_runs(places: PacketPages) -> Iterator[OriginLine]:
    """Runs of pages that follow one another in the packet and in their source."""
    run: OriginLine | None = None
    for (source, page), packet in sorted(places.items(), key=lambda item: item[1]):
        if run is not None and (packet, source, page) == (
            run.first_page + run.pages,
            run.source,
            run.from_page + run.pages,
        ):
            run = replace(run, pages=run.pages + 1)
            continue
        if run is not None:
            yield run
        run = OriginLine(packet, 1, source, page)
    if run is not None:
        yield run


def _let_through(made: Made, places: PacketPages) -> Iterator[LetThroughLine]:
    """In the order of the packet."""
    found = made.prepared.exceptions if made.prepared else None
    lines = [
        LetThroughLine(places[index, one.page], one.box.rounded(), one.why)
        for index, every in (found.of if found else {}).items()
        for one in every
        if (index, one.page) in places
    ]
    yield from sorted(lines, key=lambda line: (line.page, line.place[1], line.place[0]))


def open_lines(
    inventory: Inventory, prepared: Prepared | None, plan: PagePlan
) -> tuple[OpenSignatureLine, ...]:
    """Lines of the packet that ask for a signature and have none."""
    if prepared is None:
        return ()
    return tuple(
        OpenSignatureLine(line.role, line.document, line.page, line.why)
        for line, _ in missing_signatures(inventory, prepared, plan)
        if not line.is_date
    )


def _signatures(prepared: Prepared | None, places: PacketPages) -> tuple[SignatureLine, ...]:
    placements = [
        placement
        for document in (prepared.documents if prepared else ())
        for placement in document.signed.placements
    ]
    return tuple(
        SignatureLine(
            placement.role,
            places[placement.document, placement.page],
            placement.box.rounded(),
            placement.grant,
            placement.image_sha256,
        )
        for placement in placements
        if (placement.document, placement.page) in places
    )


def _tools() -> tuple[tuple[str, str], ...]:
    return (
        ("packets", __version__),
        ("python", platform.python_version()),
        *_versions(LIBRARIES),
    )


def _versions(names: Iterable[str]) -> tuple[tuple[str, str], ...]:
    return tuple((name, version_of(name)) for name in names)

"""A pipeline that does nothing and reports what a test wants to see told."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from packets.base.geometry import Box
from packets.base.progress import Progress, Step
from packets.base.secret import Secret
from packets.handover.check_request import CheckReport, CheckRequest
from packets.identifiers.kinds import Kind
from packets.intake.engagement import Engagement, EngagementFile
from packets.intake.records import (
    Evidence,
    EvidenceKind,
    Inventory,
    InventoryPage,
    SourceDocument,
)
from packets.masking.records import Masked
from packets.outbound.records import Judgement, ReaderReport, Sighting, Verdict
from packets.pipeline_records import BuildReport, BuildRequest, MaskReport
from packets.proving.records import Examine, FileProof, Outcome, Planted, Proof, Told
from packets.sealing.records import (
    MaskLine,
    PacketFacts,
    ProofLine,
    ReaderLine,
    Released,
    RetentionLine,
    SignatureLine,
    SourceLine,
)
from packets.selection.records import (
    LeftOut,
    PagePlan,
    PlannedDocument,
    PlannedPage,
    PlannedPart,
)
from packets.signatures.records import MissingSignature

WORDS = "gravel-onion-drummer-slate-pepper-kite"
DIGEST = "0123456789" * 6 + "abcd"
"""Holds a run of sixty decimal digits, as a digest may by chance."""
PLACE = Box(72, 90, 140, 102)


def source(file: str, pages: int, *notes: str) -> SourceDocument:
    return SourceDocument(
        file=file, sha256=DIGEST, pdf=b"%PDF-", pages=pages, media="application/pdf", notes=notes
    )


def page(document: int, number: int, category: str | None, evidence: Evidence, title: str = ""):
    return InventoryPage(
        document=document, number=number, category=category, evidence=evidence, title=title
    )


def an_inventory() -> Inventory:
    title = Evidence(EvidenceKind.TITLE, "Form 1040 U.S. Individual Income Tax Return")
    unsure = Evidence(EvidenceKind.TITLE, "read by OCR with low confidence", sure=False)
    return Inventory(
        folder=Path("client"),
        engagement=EngagementFile(
            engagement=Engagement(id="2025-0147", tax_year=2025, household="The Samples")
        ),
        documents=(
            source("documents/return.pdf", 3),
            source("documents/scan 666-12-3456.pdf", 1, "the scan is tilted"),
        ),
        pages=(
            replace(page(0, 1, "form-1040", title, "Form 1040"), tax_year=2025, form_page=1),
            page(0, 2, "form-1040", Evidence(EvidenceKind.CONTINUED, ""), "Form 1040"),
            replace(page(0, 3, "voucher-1040-v", title, "Form 1040-V"), to_be_filed=True),
            replace(page(1, 1, None, unsure), read_by="ocr"),
        ),
        unsure=("documents/scan 666-12-3456.pdf page 1: nothing says what this is",),
    )


def a_plan(*stops: str) -> PagePlan:
    pages = tuple(PlannedPage(0, number, "form-1040", "part takes form-1040") for number in (1, 2))
    return PagePlan(
        parts=(
            PlannedPart(
                "Federal return",
                (PlannedDocument("Form 1040", "form-1040", pages),),
                signed_by=("taxpayer",),
            ),
        ),
        left_out=(LeftOut(0, (3,), "vouchers are never masked to the last four"),),
        stops=stops,
    )


def a_verdict(*sightings: Sighting, unread: tuple[str, ...] = ()) -> Verdict:
    return Verdict(
        file="packet.pdf",
        sha256=DIGEST,
        judgement=Judgement.HELD if sightings or unread else Judgement.CLEAN,
        readers=(
            ReaderReport("PDFium text", "5.15.2", 5, len(sightings)),
            ReaderReport("file objects", "10.18.0", 0, 0),
            ReaderReport("pixels by OCR", "2.13.0", 5, 0),
        ),
        sightings=sightings,
        unread=unread,
    )


def a_sighting() -> Sighting:
    return Sighting("ssn", 4, "picture on the page", "pixels by OCR", "known number")


def a_proof(*missed: str) -> Proof:
    found = Planted("small proof", "text", Told.KNOWN, Outcome.FOUND, ("page text",))
    rows = [Planted("small proof", place, Told.UNKNOWN, Outcome.MISSED, ()) for place in missed]
    return Proof((found, *rows))


def a_file_proof(*missed: str) -> FileProof:
    return FileProof(a_verdict(), a_proof(*missed), is_pdf=True)


def some_facts() -> PacketFacts:
    return PacketFacts(
        packet="2025-0147-client-copy.pdf",
        title="Your 2025 income tax return",
        pages=5,
        content_sha256=DIGEST,
        recipe_name="client-copy",
        recipe_sha256=DIGEST,
        engagement_id="2025-0147",
        tax_year=2025,
        built_at=dt.datetime(2026, 3, 3, 14, 5, tzinfo=dt.UTC),
        sources=(
            SourceLine("documents/return.pdf", DIGEST, 3, 2, (((3,), "a voucher to pay with"),)),
            SourceLine("documents/scan 666-12-3456.pdf", DIGEST, 1, 0, (((1,), "no part"),)),
        ),
        parts=(("Signed authorizations", 2, 1), ("Federal return", 3, 3)),
        masks=(
            MaskLine("ssn", "XXX-XX-3456", 3, (1.0, 2.0, 3.0, 4.0)),
            MaskLine("ssn", "XXX-XX-3456", 4, (1.0, 2.0, 3.0, 4.0)),
            MaskLine("account", "XXXXX6789", 4, (1.0, 2.0, 3.0, 4.0)),
        ),
        signatures=(SignatureLine("taxpayer", 2, (1.0, 2.0, 3.0, 4.0), "8879-taxpayer", DIGEST),),
        verdict="clean",
        readers=(ReaderLine("PDFium text", "5.15.2", 5, 0),),
        proof=(ProofLine("text on the page", True),),
        retention=(RetentionLine("completed copy", dt.date(2029, 6, 30), "IRC 6107(b)"),),
        tools=(("pikepdf", "10.18.0"),),
    )


def released_report() -> BuildReport:
    return BuildReport(
        inventory=an_inventory(),
        plan=a_plan(),
        facts=some_facts(),
        verdict=a_verdict(),
        proof=a_proof(),
        released=Released(
            packet=Path("client/outbound/2025-0147-client-copy.pdf"),
            manifest=Path("client/outbound/2025-0147-client-copy.manifest.json"),
            key_file=Path("client/keys/2025-0147-client-copy.txt"),
            sha256=DIGEST,
            pages=5,
        ),
        held=(),
        passphrase=Secret(WORDS),
        missing=(MissingSignature("spouse", 0, 1, "topmostSubform[0].Sig[0]", "no grant"),),
        left_behind=("1 script", "document information"),
        seconds=3.21,
    )


def held_report() -> BuildReport:
    return replace(
        released_report(),
        verdict=a_verdict(a_sighting(), unread=("picture on page 5",)),
        released=None,
        held=("page 4: an SSN in a picture on the page", "page 5: a picture could not be read"),
    )


def a_mask_report(target: Path | None) -> MaskReport:
    return MaskReport(
        source=Path("in.pdf"),
        target=target,
        pages=1,
        masks=(Masked(Kind.SSN, "XXX-XX-3456", 1, PLACE),),
        left_behind=("1 attachment",),
        verdict=a_verdict() if target else a_verdict(a_sighting()),
        held=() if target else ("page 4: an SSN in a picture on the page",),
    )


@dataclass
class PipelineStandIn:
    """Reports what it is given, raises what it is given, and remembers what it was asked."""

    report: BuildReport = field(default_factory=released_report)
    stops: tuple[str, ...] = ()
    verdicts: tuple[Verdict, ...] = field(default_factory=lambda: (a_verdict(),))
    proofs: tuple[FileProof, ...] = field(default_factory=lambda: (a_file_proof(),))
    mask_held: bool = False
    error: BaseException | None = None
    asked: list[object] = field(default_factory=list)

    def _hear(self, asked: object, progress: Progress) -> None:
        self.asked.append(asked)
        progress(Step("reading", "documents/return.pdf", 1, 3))
        if self.error is not None:
            raise self.error

    def build(self, request: BuildRequest, progress: Progress, examine: Examine) -> BuildReport:
        self._hear(request, progress)
        return self.report

    def plan(
        self, client: Path, recipe: str, progress: Progress, office: Path | None = None
    ) -> tuple[Inventory, PagePlan]:
        self._hear((client, recipe), progress)
        return an_inventory(), a_plan(*self.stops)

    def inventory(self, client: Path, progress: Progress) -> Inventory:
        self._hear(client, progress)
        return an_inventory()

    def mask(
        self,
        source: Path,
        target: Path,
        identifiers: Path | None,
        password: Secret | None,
        progress: Progress,
    ) -> MaskReport:
        self._hear((source, target, identifiers, password), progress)
        return a_mask_report(None if self.mask_held else target)

    def check(self, request: CheckRequest, progress: Progress) -> CheckReport:
        asked = (request.paths, request.identifiers, request.password, request.thorough)
        self._hear(asked, progress)
        return CheckReport(self.verdicts)

    def prove(
        self,
        paths: Sequence[Path],
        identifiers: Path | None,
        password: Secret | None,
        thorough: bool,
        progress: Progress,
    ) -> tuple[FileProof, ...]:
        self._hear((tuple(paths), identifiers, password, thorough), progress)
        return self.proofs

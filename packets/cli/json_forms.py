"""The JSON documents of the commands: every member is named here, nothing is dumped.

Naming each member keeps page bytes and secrets out by construction, and makes
this file the contract for programs that read `--json`.
"""

from packets.base.canonical import Json
from packets.cli.packets_form import packets_form
from packets.cli.plain_text import plain
from packets.cli.proof_form import proof_form
from packets.cli.verdict_form import verdict_form
from packets.intake.records import Inventory, InventoryPage, SourceDocument
from packets.masking.records import Masked
from packets.pipeline_records import BuildReport, MaskReport
from packets.selection.records import PagePlan, PlannedDocument

Form = dict[str, Json]


def inventory_form(inventory: Inventory) -> Form:
    """`documents`, `pages` and `unsure`."""
    files = [document.file for document in inventory.documents]
    return {
        "documents": [
            {
                "file": plain(document.file),
                "sha256": document.sha256,
                "pages": document.pages,
                "media": document.media,
                "notes": [plain(note) for note in document.notes],
                "signatures": signatures_form(document),
            }
            for document in inventory.documents
        ],
        "pages": [_page_form(page, files) for page in inventory.pages],
        "unsure": [plain(sentence) for sentence in inventory.unsure],
    }


def signatures_form(document: SourceDocument) -> Json:
    """The cryptographic signatures of one source file."""
    return [
        {
            "field": plain(one.field),
            "signer": plain(one.signer),
            "signed_at": plain(one.signed_at),
            "verdict": one.verdict.value,
            "why": plain(one.why),
        }
        for one in document.signatures
    ]


def _page_form(page: InventoryPage, files: list[str]) -> Form:
    return {
        "file": plain(files[page.document]),
        "page": page.number,
        "category": page.category,
        "title": plain(page.title),
        "tax_year": page.tax_year,
        "jurisdiction": page.jurisdiction,
        "sequence": page.sequence,
        "form_page": page.form_page,
        "read_by": page.read_by,
        "to_be_filed": page.to_be_filed,
        "evidence": {
            "kind": page.evidence.kind.value,
            "words": plain(page.evidence.words),
            "sure": page.evidence.sure,
        },
    }


def plan_form(inventory: Inventory, plan: PagePlan) -> Form:
    """`pages` (how many), `parts`, `left_out`, `stops` and `signed_sources`."""
    files = [document.file for document in inventory.documents]
    used = {page.document for page in plan.pages}
    return {
        "pages": len(plan.pages),
        "parts": [
            {
                "heading": plain(part.heading),
                "signed_by": list(part.signed_by),
                "documents": [_planned_form(document, files) for document in part.documents],
            }
            for part in plan.parts
        ],
        "left_out": [
            {"file": plain(files[out.document]), "pages": list(out.pages), "why": plain(out.why)}
            for out in plan.left_out
        ],
        "stops": [plain(sentence) for sentence in plan.stops],
        "signed_sources": [
            {"file": plain(document.file), "signatures": signatures_form(document)}
            for index, document in enumerate(inventory.documents)
            if index in used and document.signatures
        ],
    }


def _planned_form(document: PlannedDocument, files: list[str]) -> Form:
    return {
        "title": plain(document.title),
        "category": document.category,
        "pages": [
            {
                "file": plain(files[page.document]),
                "page": page.number,
                "category": page.category,
                "why": plain(page.why),
                "blank_numbers": page.blank_numbers,
            }
            for page in document.pages
        ],
    }


def build_form(report: BuildReport) -> Form:
    """A build, released or held. The passphrase itself is never here, only its file."""
    facts = report.facts
    return {
        "title": plain(facts.title),
        "pages": facts.pages,
        "recipe": {"name": facts.recipe_name, "sha256": facts.recipe_sha256},
        "engagement": {"id": facts.engagement_id, "tax_year": facts.tax_year},
        **packets_form(report),
        "held": [plain(reason) for reason in report.held],
        "parts": [
            {"heading": plain(title), "first_page": first, "pages": pages}
            for title, first, pages in facts.parts
        ],
        "sources": _sources_form(report),
        "masks": [{"kind": mask.kind, "page": mask.page} for mask in facts.masks],
        "let_through": [{"page": one.page, "why": plain(one.why)} for one in facts.let_through],
        **_signing_form(report),
        "left_behind": [plain(thing) for thing in report.left_behind],
        "stops": [plain(sentence) for sentence in report.plan.stops],
        "check": {**verdict_form(report.verdict), "proof": proof_form(report.proof)}
        if report.verdict
        else None,
        "retention": [
            {"rule": line.rule, "keep_until": line.keep_until.isoformat(), "source": line.source}
            for line in facts.retention
        ],
        "seconds": round(report.seconds, 3),
    }


def _signing_form(report: BuildReport) -> Form:
    """`signatures`, `signature_lines` and `missing_signatures`."""
    files = [document.file for document in report.inventory.documents]
    return {
        "signatures": [
            {"role": line.role, "page": line.page, "grant": plain(line.grant)}
            for line in report.facts.signatures
        ],
        "signature_lines": [
            {
                "role": line.role,
                "asked": line.asked,
                "signed": line.signed,
                "nobody": line.nobody,
            }
            for line in report.signature_lines
        ],
        "missing_signatures": [
            {
                "role": line.role,
                "file": plain(files[line.document]),
                "page": line.page,
                "field": plain(line.field),
                "why": plain(line.why),
            }
            for line in report.missing
        ],
    }


def _sources_form(report: BuildReport) -> Json:
    return [
        {
            "file": plain(source.file),
            "sha256": source.sha256,
            "pages": source.pages,
            "used": source.used,
            "left_out": [
                {"pages": list(pages), "why": plain(why)} for pages, why in source.left_out
            ],
            "signatures": [
                {
                    "field": plain(line.field),
                    "signer": plain(line.signer),
                    "signed_at": plain(line.signed_at),
                    "verdict": line.verdict,
                }
                for line in source.signatures
            ],
        }
        for source in report.facts.sources
    ]


def mask_form(report: MaskReport) -> Form:
    """What `packets mask` did; `target` is null when the copy was held."""
    return {
        "source": plain(str(report.source)),
        "target": str(report.target) if report.target else None,
        "pages": report.pages,
        "held": [plain(reason) for reason in report.held],
        "masks": [_masked_form(mask) for mask in report.masks],
        "left_behind": [plain(thing) for thing in report.left_behind],
        "check": verdict_form(report.verdict),
    }


def _masked_form(mask: Masked) -> Form:
    return {
        "kind": mask.kind.value,
        "shown": plain(mask.shown),
        "page": mask.page,
        "place": list(mask.place.rounded()),
        "within": mask.within,
    }

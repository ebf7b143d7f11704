"""Inventories of a few pages, written in one line each."""

from dataclasses import replace
from pathlib import Path
from typing import Any

from packets.intake.engagement import Engagement, EngagementFile
from packets.intake.records import Evidence, EvidenceKind, Inventory, InventoryPage, SourceDocument
from packets.recipe.model import Recipe

ENGAGEMENT = EngagementFile(engagement=Engagement(id="2025-1", tax_year=2025, household="Demo"))


def page(category: str | None, **known: Any) -> InventoryPage:
    """A page that does not yet know where it lies."""
    kind = known.pop("by", EvidenceKind.TITLE if category else EvidenceKind.NONE)
    sure = known.pop("sure", True)
    return InventoryPage(
        document=0,
        number=1,
        category=category,
        evidence=Evidence(kind=kind, words="as the page says", sure=sure),
        **known,
    )


def inventory(*documents: list[InventoryPage]) -> Inventory:
    """One document for each list; pages get their places here."""
    return Inventory(
        folder=Path("client"),
        engagement=ENGAGEMENT,
        documents=tuple(
            SourceDocument(
                file=f"documents/{index}.pdf",
                sha256="0" * 64,
                pdf=b"",
                pages=len(pages),
                media="application/pdf",
            )
            for index, pages in enumerate(documents)
        ),
        pages=tuple(
            replace(given, document=index, number=number)
            for index, pages in enumerate(documents)
            for number, given in enumerate(pages, start=1)
        ),
    )


def recipe(*parts: dict[str, Any], audience: str = "client", **more: Any) -> Recipe:
    """A recipe with these parts; a part without a heading gets one."""
    return Recipe.model_validate(
        {
            "recipe": 1,
            "name": "test",
            "title": "Test",
            "audience": audience,
            "part": [{"heading": f"Part {n}", **part} for n, part in enumerate(parts)],
            **more,
        }
    )

"""The facts of each packet of a build, and of all of them together."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace

from packets.handover.facts import Made, gather
from packets.handover.shares import Share
from packets.intake.records import Inventory
from packets.recipe.shelf import LoadedRecipe
from packets.sealing.records import PacketFacts, SealedPacket, SetLine
from packets.selection.records import PagePlan


@dataclass(frozen=True)
class CheckedShare:
    """A packet that was sealed and checked, and may be released."""

    share: Share
    made: Made
    sealed: SealedPacket


def facts_of_each(
    checked: Sequence[CheckedShare], inventory: Inventory, recipe: LoadedRecipe, now: dt.datetime
) -> tuple[PacketFacts, ...]:
    """What each manifest says; one of several lists all of them, by digest."""
    each = [gather(inventory, one.share.plan, recipe, one.made, now) for one in checked]
    if len(each) == 1:
        return tuple(each)
    whole_set = tuple(
        SetLine(
            number=one.share.number,
            sha256=one.sealed.sha256,
            bytes=len(one.sealed.pdf),
            pages=facts.pages,
            headings=tuple(heading for heading, _, _ in facts.parts),
        )
        for one, facts in zip(checked, each, strict=True)
    )
    return tuple(
        replace(
            facts,
            title=f"{facts.title} ({line.number} of {len(whole_set)})",
            number=line.number,
            whole_set=whole_set,
        )
        for facts, line in zip(each, whole_set, strict=True)
    )


def facts_together(
    each: Sequence[PacketFacts],
    inventory: Inventory,
    plan: PagePlan,
    recipe: LoadedRecipe,
    now: dt.datetime,
) -> PacketFacts:
    """For the summary of a build: all packets as if they were one, page by page in order."""
    if len(each) == 1:
        return each[0]
    whole = gather(inventory, plan, recipe, Made(), now)
    starts = [sum(facts.pages for facts in each[:at]) for at in range(len(each))]
    pairs = list(zip(each, starts, strict=True))
    return replace(
        whole,
        pages=sum(facts.pages for facts in each),
        parts=tuple(
            (heading, first + start, pages)
            for facts, start in pairs
            for heading, first, pages in facts.parts
        ),
        masks=tuple(
            replace(mask, page=mask.page + start) for facts, start in pairs for mask in facts.masks
        ),
        signatures=tuple(
            replace(line, page=line.page + start)
            for facts, start in pairs
            for line in facts.signatures
        ),
        verdict=each[0].verdict,
    )

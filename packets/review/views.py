"""A packet as its page shows it: records of the case become what the template prints."""

from collections.abc import Sequence

from packets.decisions.records import Mark, Origin, ReviewCase, State
from packets.review.pictures import PageSize
from packets.review.records import Choices, LeftOutView, MarkView, PageView, PartView
from packets.review.words import counted, shown
from packets.sealing.waiting import FOLDER

BADGE = 11.0
"""Points from a mark's box to the middle of its number."""
EDGE = 10.0
"""A number stands at least so far inside the page."""
NOT_WAITING = {
    State.RELEASED: "This packet was released. `packets mail` sends it, and "
    "`packets passphrase` shows the passphrase for it.",
    State.SENT: "This packet was sent. There is nothing to decide.",
    State.BUILT: "A copy of the office's own, or for the agency: it waits for nobody's decision.",
    State.CHANGED: "This packet is not in to-review/, and it was made from what has changed since. "
    "Build again before it is used.",
}
FRONT = "Before the first part"
"""Heading of what stands there: the cover sheet."""
MARK_WORDS = {
    "masked": "masked",
    "blanked": "hidden by a person",
    "let through": "let through by a person",
    "signed": "signed",
}


def page_views(case: ReviewCase, sizes: Sequence[PageSize]) -> tuple[PageView, ...]:
    """Every page of the packet with its marks, in the order of the packet."""
    parts = {1: FRONT, **{part.first_page: part.heading for part in case.parts}}
    numbered = marks_by_page(case, sizes)
    return tuple(
        PageView(
            number=number,
            width=round(size.width, 1),
            height=round(size.height, 1),
            marks=numbered.get(number, ()),
            part=shown(parts.get(number, "")),
            origin=origin_words(origin_of(case, number)),
        )
        for number, size in enumerate(sizes, start=1)
    )


def marks_by_page(case: ReviewCase, sizes: Sequence[PageSize]) -> dict[int, tuple[MarkView, ...]]:
    """The marks of each page, numbered through the packet."""
    found: dict[int, list[MarkView]] = {}
    there = [mark for mark in case.marks if 1 <= mark.page <= len(sizes)]
    down = sorted(there, key=lambda mark: (mark.page, mark.box.y0, mark.box.x0))
    for number, mark in enumerate(down, start=1):
        found.setdefault(mark.page, []).append(mark_view(number, mark, sizes[mark.page - 1]))
    return {page: tuple(marks) for page, marks in found.items()}


def mark_view(number: int, mark: Mark, size: PageSize) -> MarkView:
    """One mark, its number set beside the box where there is room."""
    box = mark.box
    left = box.x0 - BADGE
    x = left if left >= EDGE else min(box.x1 + BADGE, size.width - EDGE)
    y = min(max((box.y0 + box.y1) / 2, EDGE), size.height - EDGE)
    return MarkView(
        number=number,
        what=mark.what,
        words=f"{MARK_WORDS.get(mark.what, mark.what)}: {shown(mark.words)}",
        box=(round(box.x0, 1), round(box.y0, 1), round(box.width, 1), round(box.height, 1)),
        badge=(round(x, 1), round(y, 1)),
    )


def origin_of(case: ReviewCase, page: int) -> Origin | None:
    """The source page of packet page `page`, from 1."""
    return case.origins[page - 1] if 1 <= page <= len(case.origins) else None


def origin_words(origin: Origin | None) -> str:
    """`documents/w-2.pdf, page 1`; empty for a sheet of our own."""
    return f"{shown(origin.file)}, page {origin.page}" if origin else ""


def part_views(case: ReviewCase) -> tuple[PartView, ...]:
    """The contents."""
    told = []
    for part in case.parts:
        last = part.first_page + part.pages - 1
        inside = sum(part.first_page <= mark.page <= last for mark in case.marks)
        told.append(
            PartView(
                heading=shown(part.heading),
                first_page=part.first_page,
                pages=f"page {part.first_page}"
                if part.pages == 1
                else f"pages {part.first_page}–{last}",
                marks=counted(inside, "mark") if inside else "",
            )
        )
    return tuple(told)


def left_out_views(case: ReviewCase) -> tuple[LeftOutView, ...]:
    """Every page that stays out, each with its reason."""
    pages = [(out.file, page, out.why) for out in case.left_out for page in out.pages]
    return tuple(
        LeftOutView(number, file, page, shown(why))
        for number, (file, page, why) in enumerate(pages, start=1)
    )


def choices_of(case: ReviewCase) -> Choices:
    """What may be decided now; the desk judges again when it is decided."""
    waits = case.packet is not None and case.packet.path.parent.name == FOLDER
    if case.packet is not None and not waits:
        why = NOT_WAITING.get(case.state, "This packet does not wait for a decision any more.")
    elif case.stale:
        why = "What this packet was made from has changed. Build again, then look and decide."
    elif case.packet is None:
        why = "Nothing was sealed, so there is nothing to release. See above what to do."
    else:
        why = ""
    return Choices(release=not why, hold=waits, why_not=why)


def mark_count(case: ReviewCase) -> str:
    """`23 masked, 4 signed`."""
    told = [
        f"{found} {MARK_WORDS[what]}"
        for what in MARK_WORDS
        if (found := sum(mark.what == what for mark in case.marks))
    ]
    return ", ".join(told) or "nothing masked, nothing signed"

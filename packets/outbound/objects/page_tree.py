"""The pages that a reader shows: those that the root leads to."""

from packets.outbound.objects.opened import OpenedFile
from packets.outbound.objects.values import Ref


def page_numbers(opened: OpenedFile) -> tuple[int, ...]:
    """Object numbers of the pages in the page tree, each once, in their order."""
    found: list[int] = []
    seen: set[int] = set()
    waiting: list[Ref] = []
    for trailer in opened.trailers[-1:]:
        root = opened.resolved(trailer.get("Root"))
        pages = root.get("Pages") if isinstance(root, dict) else None
        waiting += [pages] if isinstance(pages, Ref) else []
    while waiting:
        at = waiting.pop()
        node = opened.latest.get(at.number)
        if node is None or at.number in seen:
            continue
        seen.add(at.number)
        kids = opened.resolved(node.entries.get("Kids"))
        if isinstance(kids, list):
            waiting += [kid for kid in reversed(kids) if isinstance(kid, Ref)]
        else:
            found.append(at.number)
    return tuple(found)

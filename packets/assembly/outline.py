"""The outline (readers call it bookmarks) and the links of the lists."""

import pikepdf

from packets.assembly.page_boxes import shown_page
from packets.assembly.pagination import Pagination
from packets.assembly.records import Binding
from packets.assembly.sheets import LinkMark
from packets.assembly.signing_record import RECORD

_OPEN_UP_TO = 60
"""With more documents than this the parts are shown closed."""


def destination(packet: pikepdf.Pdf, number: int) -> pikepdf.Array:
    """The top of a packet page (from 1), at the reader's own zoom (ISO 32000-2, 12.3.2.2)."""
    page = packet.pages[number - 1].obj
    left, top = shown_page(page).top_left()
    return pikepdf.Array([page, pikepdf.Name.XYZ, round(left, 3), round(top, 3), None])


def write_outline(packet: pikepdf.Pdf, binding: Binding, pagination: Pagination) -> None:
    """Cover, each part with each document below it, and the signing record."""
    documents = sum(len(part.documents) for part in binding.parts)
    with packet.open_outline() as outline:
        if pagination.covers:
            outline.root.append(
                pikepdf.OutlineItem("Cover", destination(packet, pagination.covers[0]))
            )
        for part, pages in zip(binding.parts, pagination.parts, strict=True):
            item = pikepdf.OutlineItem(part.heading, destination(packet, pages.first))
            item.is_closed = documents > _OPEN_UP_TO
            item.children.extend(
                pikepdf.OutlineItem(document.title, destination(packet, numbers[0]))
                for document, numbers in zip(part.documents, pages.documents, strict=True)
            )
            outline.root.append(item)
        if pagination.record:
            outline.root.append(
                pikepdf.OutlineItem(RECORD, destination(packet, pagination.record[0]))
            )


def write_links(packet: pikepdf.Pdf, page: pikepdf.Object, links: list[LinkMark]) -> None:
    """Link annotations inside the packet: a box and a destination, no action (12.5.6.5)."""
    if links:
        page.Annots = pikepdf.Array(
            [
                packet.make_indirect(
                    pikepdf.Dictionary(
                        Type=pikepdf.Name.Annot,
                        Subtype=pikepdf.Name.Link,
                        Rect=pikepdf.Array([round(edge, 3) for edge in link.box]),
                        Border=pikepdf.Array([0, 0, 0]),
                        Dest=destination(packet, link.page),
                    )
                )
                for link in links
            ]
        )

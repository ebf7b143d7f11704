"""Page content put into a form of its own, so that nothing we add meets its graphics state.

A form XObject is drawn with the state saved before and restored after (ISO
32000-2, 8.10.1), also where its content saves or restores too often, or ends
inside a text object. Its /BBox clips to what the page showed, so that print
beyond the visible box stays invisible when the page is grown.
"""

import pikepdf

from packets.assembly.page_boxes import ShownPage


def enclosed_content(
    packet: pikepdf.Pdf, page: pikepdf.Object, shown: ShownPage
) -> pikepdf.Object | None:
    """The content of `page` as a form XObject; None where the page has none.

    The bytes of a single content stream are taken over as they are, compressed or not.
    """
    contents = page.get("/Contents")
    if isinstance(contents, pikepdf.Array) and len(contents) == 1:
        contents = contents[0]
    if isinstance(contents, pikepdf.Stream):
        form = pikepdf.Stream(packet, contents.read_raw_bytes())
        for key in ("/Filter", "/DecodeParms"):
            if key in contents:
                form[key] = contents[key]
    elif isinstance(contents, pikepdf.Array):
        form = pikepdf.Stream(packet, _joined(contents))
    else:
        return None
    form.Type = pikepdf.Name.XObject
    form.Subtype = pikepdf.Name.Form
    form.BBox = pikepdf.Array(list(shown.box))
    form.Resources = page.get("/Resources", pikepdf.Dictionary())
    return packet.make_indirect(form)


def _joined(contents: pikepdf.Array) -> bytes:
    """Streams of one page read as one, with white space between them (7.8.2)."""
    return b"\n".join(part.read_bytes() for part in contents if isinstance(part, pikepdf.Stream))

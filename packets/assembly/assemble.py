"""One packet from many masked documents: sheets of ours, pages, stamps, outline, links."""

from contextlib import ExitStack
from dataclasses import replace
from io import BytesIO

import pikepdf

from packets.assembly.faces import embed_faces
from packets.assembly.front_matter import FrontMatter, make_front_matter
from packets.assembly.lettering import Lettering, show_form
from packets.assembly.merge import merge
from packets.assembly.outline import write_links, write_outline
from packets.assembly.records import AssembledPacket, Binding
from packets.assembly.shared_pictures import share_pictures
from packets.assembly.stamps import Stamper, StampWording
from packets.assembly.titles import plain_line
from packets.base.errors import OurFault


def assemble(binding: Binding) -> AssembledPacket:
    """Put a packet together.

    Pages keep their size, rotation and print; a page without a bare spot for its
    stamp grows at the foot. The result holds a title and no other metadata, and is
    the same for the same binding.

    Raises:
        Damaged, Locked: a document cannot be opened.
        OurFault: a part or document without pages, or a page that does not exist.
    """
    binding = _tidied(binding)
    _require_pages(binding)
    with ExitStack() as stack:
        lettering = Lettering()
        stack.callback(lettering.close)
        front = make_front_matter(binding, lettering)
        pagination = front.pagination
        own = (
            len(pagination.covers),
            *(len(part.dividers) for part in pagination.parts),
            len(pagination.record),
        )
        merged = merge(binding, front.pdf, own, stack)
        packet = merged.packet
        stamper = None
        if binding.stamp_text or binding.page_numbers:
            wording = StampWording(
                binding.stamp_text,
                numbered=binding.page_numbers,
                total=pagination.total,
                lettering=lettering,
            )
            stamper = Stamper(merged, wording, lettering)
        forms = lettering.forms(packet)
        _finish_sheets(packet, front, lettering, forms)
        if stamper:
            stamper.stamp_all(forms)
        write_outline(packet, binding, pagination)
        share_pictures(packet)
        _describe(packet, binding)
        data = _saved(packet)
    return AssembledPacket(
        pdf=data,
        pages=pagination.total,
        parts=tuple(part.as_range() for part in pagination.parts),
        page_of=tuple(pages for part in pagination.parts for pages in part.documents),
    )


def _tidied(binding: Binding) -> Binding:
    """The binding with every text on one plain line."""
    return replace(
        binding,
        title=plain_line(binding.title, otherwise=f"Tax documents {binding.tax_year}"),
        household=plain_line(binding.household, otherwise=""),
        engagement_id=plain_line(binding.engagement_id, otherwise=""),
        stamp_text=plain_line(binding.stamp_text, otherwise=""),
        parts=tuple(
            replace(
                part,
                heading=plain_line(part.heading, otherwise=f"Part {number}"),
                documents=tuple(
                    replace(each, title=plain_line(each.title, otherwise="Untitled document"))
                    for each in part.documents
                ),
            )
            for number, part in enumerate(binding.parts, start=1)
        ),
        record=tuple(
            replace(
                entry,
                heading=plain_line(entry.heading, otherwise="Signature"),
                facts=tuple(
                    (plain_line(name, otherwise=""), plain_line(words, otherwise="not told"))
                    for name, words in entry.facts
                ),
            )
            for entry in binding.record
        ),
    )


def _require_pages(binding: Binding) -> None:
    if not binding.parts:
        raise OurFault("a packet without parts reached assembly")
    for part in binding.parts:
        if not part.documents:
            raise OurFault("a part without documents reached assembly", where=part.heading)
        for document in part.documents:
            if not document.pages:
                raise OurFault("a document without pages reached assembly", where=document.title)


def _finish_sheets(
    packet: pikepdf.Pdf,
    front: FrontMatter,
    lettering: Lettering,
    forms: dict[str, pikepdf.Object],
) -> None:
    """Add to each sheet of ours the texts in other scripts and the links."""
    pagination = front.pagination
    numbers = [
        *pagination.covers,
        *(n for part in pagination.parts for n in part.dividers),
        *pagination.record,
    ]
    sheets = [packet.pages[number - 1] for number in numbers if front.pdf]
    embed_faces(packet, sheets, front.letters)
    for page, marks in zip(sheets, front.marks, strict=True):
        shown: dict[str, str] = {}
        content = b""
        for mark in marks.texts:
            name = shown.setdefault(mark.text, f"T{len(shown)}")
            at = lettering.set_text(mark.text)
            content += show_form(name, at, mark.x, mark.y, mark.size)
        if content:
            page.obj.Resources.XObject = pikepdf.Dictionary(
                {f"/{name}": forms[text] for text, name in shown.items()}
            )
            page.contents_add(packet.make_stream(content))
        write_links(packet, page.obj, marks.links)


def _describe(packet: pikepdf.Pdf, binding: Binding) -> None:
    """Title, language and how to open; plain decimal labels, so that printed and shown agree."""
    packet.docinfo["/Title"] = binding.title
    root = packet.Root
    root.Lang = pikepdf.String(binding.language)
    root.ViewerPreferences = pikepdf.Dictionary(DisplayDocTitle=True)
    root.PageMode = pikepdf.Name.UseOutlines
    root.PageLabels = pikepdf.Dictionary(
        Nums=pikepdf.Array([0, pikepdf.Dictionary(S=pikepdf.Name.D)])
    )


def _saved(packet: pikepdf.Pdf) -> bytes:
    file = BytesIO()
    packet.save(
        file,
        deterministic_id=True,
        min_version="1.7",
        object_stream_mode=pikepdf.ObjectStreamMode.generate,
        stream_decode_level=pikepdf.StreamDecodeLevel.none,
    )
    return file.getvalue()

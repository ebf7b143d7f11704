"""Cover and dividers together: laid out, numbered, drawn."""

from dataclasses import dataclass

from packets.assembly.cover import draw_cover, lay_out_cover
from packets.assembly.divider import draw_divider, lay_out_divider
from packets.assembly.lettering import Lettering
from packets.assembly.pagination import Pagination, paginate
from packets.assembly.records import Binding
from packets.assembly.sheets import SheetMarks, SheetWriter
from packets.assembly.signing_record import draw_record, lay_out_record


@dataclass(frozen=True)
class FrontMatter:
    """The sheets that assembly prints itself, in packet order, and where every page lands."""

    pdf: bytes | None
    """None where there is neither cover nor divider nor signing record."""
    marks: tuple[SheetMarks, ...]
    """One for each page of `pdf`."""
    pagination: Pagination
    letters: dict[str, set[str]]
    """The letters printed in each standard face."""


def make_front_matter(binding: Binding, lettering: Lettering) -> FrontMatter:
    """Lay everything out, number the pages, and only then draw.

    An agency packet is an attachment to a filed return: it holds the pages asked for
    and nothing of ours.
    """
    ours = binding.audience != "agency"
    cover = lay_out_cover(binding, lettering) if ours and binding.cover_sheet else None
    dividers = (
        tuple(lay_out_divider(part, at, lettering) for at, part in enumerate(binding.parts))
        if ours and binding.dividers
        else ()
    )
    record = lay_out_record(binding.record, lettering) if ours and binding.record else ()
    pagination = paginate(
        binding.parts,
        cover_sheets=cover.sheets if cover else 0,
        divider_sheets=tuple(each.sheets for each in dividers) or (0,) * len(binding.parts),
        record_sheets=len(record),
    )

    def page_of(place: tuple[int, int | None]) -> int:
        if place[0] == len(pagination.parts):
            return pagination.record[0]
        part = pagination.parts[place[0]]
        return part.first if place[1] is None else part.documents[place[1]][0]

    if not cover and not dividers and not record:
        return FrontMatter(None, (), pagination, {})
    writer = SheetWriter(lettering)
    if cover:
        draw_cover(writer, binding, cover, page_of, pagination.total)
    for at, divider in enumerate(dividers):
        draw_divider(writer, divider, (at, len(dividers)), page_of)
    draw_record(writer, record, pagination.bound)
    return FrontMatter(writer.finish(), tuple(writer.marks), pagination, writer.letters)

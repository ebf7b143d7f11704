"""Take drawn numbers and codes out of a document and write the masks where they stood."""

import io
from collections.abc import Mapping, Sequence

import pikepdf
import pymupdf

from packets.base.errors import Damaged
from packets.masking.drawn_cells import Cells, meets_core
from packets.masking.drawn_findings import moved
from packets.masking.drawn_lettering import mask_lettering
from packets.masking.drawn_paths import PathEraser
from packets.masking.drawn_records import DrawnFinding, DrawnRemoval
from packets.masking.in_place import InPlaceMasker
from packets.masking.resources import Resources
from packets.masking.targets import Place, Targets
from packets.masking.user_space import unrotated
from packets.reading.unexplained_ink import drawn_shapes, outline_boxes


def take_out_drawn(pdf: bytes, pages: Mapping[int, Sequence[DrawnFinding]]) -> DrawnRemoval:
    """Remove the ink of the findings by page (from 0); everything else stays as it was.

    What was met nowhere, or of which something is left, comes back as undone.
    Raises `Damaged` when the document cannot be taken apart.
    """
    if not any(pages.values()):
        return DrawnRemoval(pdf, (), ())
    met: dict[int, list[bool]] = {}
    try:
        with pikepdf.open(io.BytesIO(pdf)) as document:
            masker = InPlaceMasker(document)
            for number, findings in pages.items():
                met[number] = _take_out(document, masker, number, findings)
            out = io.BytesIO()
            document.save(out, deterministic_id=True)
    except (pikepdf.PdfError, pikepdf.PasswordError) as error:
        raise Damaged("this document cannot be taken apart") from error
    result = out.getvalue()
    clear = _clear(result, pages)
    done: list[DrawnFinding] = []
    undone: list[DrawnFinding] = []
    for number, findings in pages.items():
        for at, finding in enumerate(findings):
            fine = met[number][at] and clear[number][at]
            (done if fine else undone).append(finding)
    return DrawnRemoval(result, tuple(done), tuple(undone))


def _take_out(
    document: pikepdf.Pdf, masker: InPlaceMasker, number: int, findings: Sequence[DrawnFinding]
) -> list[bool]:
    """For each finding whether all that should go was met; the page is written anew."""
    page = document.pages[number]
    fine = []
    for finding in findings:
        targets = Targets(Place(x, y, finding.mask) for x, y in finding.origins)
        fine.append(not finding.origins or masker.mask_page(page, targets))
    drawn = [finding for finding in findings if finding.cells]
    if not drawn:
        return fine
    cells = Cells(drawn)
    if PathEraser(document, cells).erase(page):
        _append(document, page, drawn, cells, masker.helvetica())
    for at, finding in enumerate(drawn):
        place = findings.index(finding)
        met = cells.met(at)
        fine[place] = fine[place] and all(
            hit for hit, cell in zip(met, finding.cells, strict=True) if cell.goes
        )
    return fine


def _append(
    document: pikepdf.Pdf,
    page: pikepdf.Page,
    findings: Sequence[DrawnFinding],
    cells: Cells,
    font: pikepdf.Object,
) -> None:
    """Set the masks behind the page's content, in default user space."""
    own = Resources(page.obj.Resources)
    name = own.add("/Font", font)
    lettering = b"".join(
        mask_lettering(finding, cells.met(at), str(name)) for at, finding in enumerate(findings)
    )
    content = page.obj.Contents.read_bytes()
    page.obj.Contents = document.make_stream(b"q\n" + content + b"\nQ\n" + lettering)
    page.obj.Resources = own.result


def _clear(pdf: bytes, pages: Mapping[int, Sequence[DrawnFinding]]) -> dict[int, list[bool]]:
    """For each finding whether no outline is left in the middle of a cell that was emptied."""
    document = pymupdf.open(stream=pdf, filetype="pdf")
    clear: dict[int, list[bool]] = {}
    try:
        for number, findings in pages.items():
            page = document[number]
            to_user_space = ~unrotated(page)
            left = [
                moved(box, to_user_space)
                for shape in drawn_shapes(page)
                for box in outline_boxes(shape)
            ]
            clear[number] = [
                not any(meets_core(finding, box) for box in left) for finding in findings
            ]
    finally:
        document.close()
    return clear

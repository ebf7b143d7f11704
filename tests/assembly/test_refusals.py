"""What assembly does not take, it refuses by name, with our own errors."""

from io import BytesIO

import pikepdf
import pytest
from bound_samples import bind, numbered_pdf, one_part

from packets.assembly.assemble import assemble
from packets.assembly.records import BoundPages, BoundPart
from packets.base.errors import Damaged, Locked, OurFault


def test_a_damaged_document_is_named() -> None:
    with pytest.raises(Damaged, match="Scan 7"):
        assemble(bind(one_part(b"%PDF-1.7 nothing more", title="Scan 7")))


def test_a_locked_document_is_named() -> None:
    with pikepdf.open(BytesIO(numbered_pdf(1))) as pdf:
        file = BytesIO()
        pdf.save(file, encryption=pikepdf.Encryption(user="open", owner="owner"))
    with pytest.raises(Locked, match="Scan 8"):
        assemble(bind(one_part(file.getvalue(), title="Scan 8")))


@pytest.mark.parametrize("number", [0, -1, 3])
def test_a_page_that_does_not_exist_is_our_fault(number: int) -> None:
    with pytest.raises(OurFault, match="of 2"):
        assemble(bind(one_part(numbered_pdf(2), (number,))))


@pytest.mark.parametrize(
    "parts",
    [(), (BoundPart("Empty", ()),), (BoundPart("Hollow", (BoundPages("x", b"", ()),)),)],
    ids=["no-part", "no-document", "no-page"],
)
def test_nothing_to_bind_is_our_fault(parts: tuple[BoundPart, ...]) -> None:
    with pytest.raises(OurFault, match="without"):
        assemble(bind(*parts))


def test_a_page_with_annotations_is_refused() -> None:
    with pikepdf.open(BytesIO(numbered_pdf(1))) as pdf:
        pdf.pages[0].Annots = pikepdf.Array(
            [
                pikepdf.Dictionary(
                    Type=pikepdf.Name.Annot, Subtype=pikepdf.Name.Text, Rect=[0, 0, 9, 9]
                )
            ]
        )
        file = BytesIO()
        pdf.save(file)
    with pytest.raises(OurFault, match="annotations"):
        assemble(bind(one_part(file.getvalue())))


def test_page_keys_that_nobody_listed_stay_behind() -> None:
    with pikepdf.open(BytesIO(numbered_pdf(1))) as pdf:
        pdf.pages[0].obj.AA = pikepdf.Dictionary(
            O=pikepdf.Dictionary(S=pikepdf.Name.JavaScript, JS="app.alert(1)")
        )
        pdf.pages[0].obj.PieceInfo = pikepdf.Dictionary(Old=pikepdf.Dictionary())
        pdf.pages[0].obj.Hidden = pikepdf.String("a remark")
        file = BytesIO()
        pdf.save(file)
    packet = assemble(bind(one_part(file.getvalue())))
    with pikepdf.open(BytesIO(packet.pdf)) as pdf:
        assert set(pdf.pages[2].obj.keys()) == {
            "/Type",
            "/Parent",
            "/MediaBox",
            "/Rotate",
            "/Resources",
            "/Contents",
        }

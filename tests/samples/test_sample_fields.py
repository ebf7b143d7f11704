"""The printed return has the form fields that real ones have."""

import io
from dataclasses import dataclass
from pathlib import Path

import pikepdf
import pytest
from sample_scan import ROOT, field_values, sample_files, short

JOINT = ROOT / "joint-return" / "documents"
SINGLE = ROOT / "single-filer" / "documents"
COMB = 1 << 24


@dataclass(frozen=True)
class Widget:
    """A form field as it lies on its page."""

    page: int
    kind: str
    value: str | None
    left: float
    right: float
    cells: int
    drawn: str


def widgets(path: Path) -> dict[str, Widget]:
    """Every widget by full name."""
    with pikepdf.open(io.BytesIO(path.read_bytes())) as pdf:
        return {
            full_name(widget): as_widget(number, widget)
            for number, page in enumerate(pdf.pages, 1)
            for widget in page.obj.get("/Annots", [])
        }


def as_widget(page: int, widget: pikepdf.Object) -> Widget:
    comb = int(widget.get("/Ff", 0)) & COMB
    content = widget["/AP"]["/N"].read_bytes().decode("cp1252") if "/AP" in widget else ""
    return Widget(
        page=page,
        kind=str(widget["/FT"]),
        value=str(widget["/V"]) if "/V" in widget else None,
        left=float(widget["/Rect"][0]),
        right=float(widget["/Rect"][2]),
        cells=int(widget["/MaxLen"]) if comb else 0,
        drawn="".join(part.split(") Tj")[0] for part in content.split("Td (")[1:]),
    )


def full_name(field: pikepdf.Object) -> str:
    names = []
    while field is not None:
        names.append(str(field.get("/T")))
        field = field.get("/Parent")
    return ".".join(reversed(names))


@pytest.mark.parametrize(
    ("name", "page"),
    [
        ("taxpayer_signature_8879", 1),
        ("spouse_signature_8879", 1),
        ("ero_signature_8879", 1),
        ("taxpayer_signature_1040", 4),
        ("spouse_signature_1040", 4),
        ("preparer_signature_1040", 4),
        ("taxpayer_signature_it1040", 20),
        ("spouse_signature_it1040", 20),
    ],
)
def test_each_signature_line_is_an_empty_signature_field_with_a_date_field_beside_it(
    name: str, page: int
) -> None:
    found = widgets(JOINT / "2025-tax-return.pdf")
    signature, date = found[name], found[name.replace("_signature", "_sign_date")]
    assert (signature.page, date.page) == (page, page)
    assert (signature.kind, signature.value) == ("/Sig", None)
    assert (date.kind, date.value) == ("/Tx", "")
    assert date.left >= signature.right


@pytest.mark.parametrize("file", ["consent-to-disclose.pdf", "engagement-letter.pdf"])
def test_both_clients_have_a_signature_field_on_each_paper_of_the_office(file: str) -> None:
    found = widgets(JOINT / file)
    assert set(found) == {
        *("taxpayer_signature", "taxpayer_sign_date"),
        *("spouse_signature", "spouse_sign_date"),
    }


@pytest.mark.parametrize(
    ("path", "numbers"),
    [
        (JOINT / "2025-tax-return.pdf", ["666123481", "000452718", "412007305", "543210000"]),
        (SINGLE / "2025-tax-return.pdf", ["987654321", "111000025"]),
    ],
    ids=["joint", "single"],
)
def test_taxpayer_numbers_on_form_1040_stand_in_combs_of_nine(
    path: Path, numbers: list[str]
) -> None:
    assert set(numbers) <= {w.value for w in widgets(path).values() if w.cells == 9}


def test_identity_pins_stand_in_combs_of_six_and_signing_pins_in_combs_of_five() -> None:
    found = widgets(JOINT / "2025-tax-return.pdf").values()
    assert {"418203", "507116"} <= {w.value for w in found if w.cells == 6}
    assert {"41827", "60935"} <= {w.value for w in found if w.cells == 5}


@pytest.mark.parametrize("path", sample_files(".pdf"), ids=short)
def test_each_filled_field_is_drawn_as_it_is_filled(path: Path) -> None:
    for name, widget in widgets(path).items():
        assert widget.drawn.replace("\\", "") == (widget.value or ""), name


@pytest.mark.parametrize("path", sample_files(".pdf"), ids=short)
def test_field_values_found_by_name_are_those_of_the_widgets(path: Path) -> None:
    by_name = {name: value for name, value in field_values(path.read_bytes()).items() if value}
    assert by_name == {name: w.value for name, w in widgets(path).items() if w.value}

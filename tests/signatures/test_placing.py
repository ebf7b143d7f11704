"""Signature images placed into the fields that ask for them."""

import io
from pathlib import Path

import pikepdf
import pypdfium2
from pikepdf import Dictionary, Name, String
from signing_samples import (
    RULE,
    add_field,
    as_bytes,
    form,
    grant_book,
    grant_text,
    pictures,
    sign,
    widget_names,
)

from packets.masking.flatten import flatten
from packets.recipe.model import SignRule


def text_on(pdf: bytes, page: int = 0) -> str:
    with pypdfium2.PdfDocument(pdf) as document:
        return document[page].get_textpage().get_text_range()


def test_a_signature_field_is_signed_and_gone(tmp_path: Path) -> None:
    document = form()
    add_field(document, "taxpayer_signature")
    signed = sign(document, grant_book(tmp_path))
    (placed,) = signed.placements
    assert (placed.role, placed.page, placed.grant) == ("taxpayer", 1, "2026-taxpayer-1")
    assert signed.missing == ()
    assert widget_names(signed.pdf) == []
    assert len(pictures(signed.pdf)) == 1


def test_a_text_field_is_signed_alike(tmp_path: Path) -> None:
    document = form()
    add_field(document, "taxpayer_signature_1", FT=Name.Tx)
    assert len(sign(document, grant_book(tmp_path)).placements) == 1


def test_the_image_rests_on_the_bottom_line_at_the_left_undistorted(tmp_path: Path) -> None:
    document = form()
    add_field(document, "taxpayer_signature", (100, 100, 300, 130))
    (placed,) = sign(document, grant_book(tmp_path)).placements
    assert placed.box.y1 == 792 - 100
    assert placed.box.x0 == 102
    assert placed.box.y0 >= 792 - 130 - 0.001
    assert 2.5 < placed.box.width / placed.box.height < 5


def test_the_ink_is_where_the_record_says_and_nowhere_else(tmp_path: Path) -> None:
    document = form()
    before = as_bytes(document)
    add_field(document, "taxpayer_signature", (200, 400, 420, 440))
    signed = sign(document, grant_book(tmp_path))
    changed = changed_box(before, signed.pdf)
    box = signed.placements[0].box
    for one, other in zip(changed, (box.x0, box.y0, box.x1, box.y1), strict=True):
        assert abs(one - other) < 2


def changed_box(before: bytes, after: bytes, page: int = 0) -> tuple[int, int, int, int]:
    from PIL import ImageChops

    with pypdfium2.PdfDocument(before) as one, pypdfium2.PdfDocument(after) as other:
        first, second = (
            document[page].render(scale=1).to_pil().convert("L") for document in (one, other)
        )
    box = ImageChops.difference(first, second).point([0] * 40 + [255] * 216).getbbox()
    assert box is not None
    return box


def test_the_date_printed_is_the_day_the_signature_was_given(tmp_path: Path) -> None:
    document = form()
    add_field(document, "taxpayer_signature")
    add_field(document, "taxpayer_sign_date", (400, 100, 500, 120), FT=Name.Tx)
    signed = sign(document, grant_book(tmp_path))
    assert signed.placements[0].dated == "03/03/2026"
    assert "03/03/2026" in text_on(signed.pdf)
    assert "03/05/2026" not in text_on(signed.pdf)
    assert widget_names(signed.pdf) == []


def test_a_grant_for_the_season_prints_no_day_that_nobody_gave(tmp_path: Path) -> None:
    document = form()
    add_field(document, "ero_signature")
    add_field(document, "ero_sign_date", (400, 100, 500, 120), FT=Name.Tx)
    rule = SignRule(
        role="ero", on=("form-8879",), fields=("ero_signature*",), date_fields=("ero_sign_date*",)
    )
    standing = grant_text(role='"ero"', how='"stamp"', covers='["form-8879"]')
    signed = sign(document, grant_book(tmp_path, standing), rule)
    assert [placed.dated for placed in signed.placements] == [""]
    assert [(line.role, line.field) for line in signed.missing] == [("ero", "ero_sign_date")]
    assert "03/03/2026" not in text_on(signed.pdf)


def test_a_comb_date_gets_one_digit_in_each_cell(tmp_path: Path) -> None:
    document = form()
    add_field(document, "taxpayer_signature")
    add_field(
        document, "taxpayer_sign_date", (400, 100, 496, 120), FT=Name.Tx, Ff=1 << 24, MaxLen=8
    )
    with pypdfium2.PdfDocument(sign(document, grant_book(tmp_path)).pdf) as signed:
        page = signed[0].get_textpage()
        digits = [
            (page.get_text_range(index, 1), page.get_charbox(index))
            for index in range(page.count_chars())
        ]
    shown = [(mark, box) for mark, box in digits if mark.isdigit()]
    assert "".join(mark for mark, _ in shown) == "03032026"
    for cell, (_, box) in enumerate(shown):
        assert 400 + 12 * cell < box[0] < box[2] < 400 + 12 * (cell + 1)


def test_a_date_already_there_is_kept_and_told(tmp_path: Path) -> None:
    document = form()
    add_field(document, "taxpayer_signature")
    add_field(
        document,
        "taxpayer_sign_date",
        (400, 100, 500, 120),
        FT=Name.Tx,
        V=String("03/03/2026"),
    )
    signed = sign(document, grant_book(tmp_path))
    assert signed.placements[0].dated == "03/03/2026"
    assert widget_names(signed.pdf) == ["taxpayer_sign_date"]


def test_one_image_object_serves_every_place(tmp_path: Path) -> None:
    document = form(pages=3)
    for page in (1, 2, 3):
        add_field(document, f"taxpayer_signature_{page}", page=page)
    signed = sign(document, grant_book(tmp_path), categories=dict.fromkeys((1, 2, 3), "form-8879"))
    assert [placed.page for placed in signed.placements] == [1, 2, 3]
    assert len(pictures(signed.pdf)) == 1


def test_two_signers_have_two_images(tmp_path: Path) -> None:
    document = form()
    add_field(document, "taxpayer_signature")
    add_field(document, "spouse_signature", (100, 200, 300, 230))
    spouse = grant_text(id='"s"', role='"spouse"', image='"spouse.png"')
    rule = SignRule(role="spouse", on=("form-8879",), fields=("spouse_signature*",))
    signed = sign(document, grant_book(tmp_path, grant_text(), spouse), RULE, rule)
    assert {placed.role for placed in signed.placements} == {"taxpayer", "spouse"}
    assert len({placed.image_sha256 for placed in signed.placements}) == 2
    assert len(pictures(signed.pdf)) == 2


def test_a_field_with_widgets_on_several_pages_is_signed_where_the_rule_applies(
    tmp_path: Path,
) -> None:
    document = form(pages=2)
    parent = document.make_indirect(Dictionary(FT=Name.Sig, T=String("taxpayer_signature")))
    document.Root.AcroForm.Fields.append(parent)
    add_field(document, None, page=1, parent=parent)
    add_field(document, None, page=2, parent=parent)
    signed = sign(
        document, grant_book(tmp_path), categories={1: "form-8879", 2: "engagement-letter"}
    )
    assert [placed.page for placed in signed.placements] == [1]
    with pikepdf.open(io.BytesIO(signed.pdf)) as result:
        assert len(result.pages[1].obj.Annots) == 1
        assert len(result.Root.AcroForm.Fields[0].Kids) == 1


def test_a_name_in_the_depth_of_a_form_matches_whole_or_by_its_last_part(tmp_path: Path) -> None:
    document = form()
    top = document.make_indirect(Dictionary(FT=Name.Tx, T=String("form8879[0]")))
    document.Root.AcroForm.Fields.append(top)
    add_field(document, "taxpayer_signature[0]", parent=top)
    add_field(document, "other", (100, 300, 300, 330), parent=top)
    by_last = sign(document, grant_book(tmp_path))
    assert by_last.placements[0].field == "form8879[0].taxpayer_signature[0]"
    whole = SignRule(role="taxpayer", on=("form-8879",), fields=("form8879[[]0].other",))
    assert sign(document, grant_book(tmp_path), whole).placements == ()
    exact = SignRule(role="taxpayer", on=("form-8879",), fields=("form8879[0].other",))
    assert len(sign(document, grant_book(tmp_path), exact).placements) == 1


def test_a_name_in_utf_16_is_read(tmp_path: Path) -> None:
    document = form()
    name = pikepdf.String(b"\xfe\xff" + "taxpayer_signature ž".encode("utf-16-be"))
    add_field(document, None, T=name)
    assert len(sign(document, grant_book(tmp_path)).placements) == 1


def test_flattening_shows_a_signature_exactly_once(tmp_path: Path) -> None:
    document = form()
    add_field(document, "taxpayer_signature", FT=Name.Tx)
    add_field(document, "taxpayer_sign_date", (400, 100, 500, 120), FT=Name.Tx)
    add_field(document, "name", (100, 300, 300, 320), FT=Name.Tx, V=String("Pat Example"))
    document.Root.AcroForm.NeedAppearances = True
    signed = sign(document, grant_book(tmp_path))
    flat = flatten(signed.pdf).pdf
    assert text_on(flat).count("03/03/2026") == 1
    assert text_on(flat).count("Pat Example") == 1
    assert len(pictures(flat)) == 1
    changed = changed_box(as_bytes(form()), flat)
    assert changed[3] <= 792 - 100 + 1


def test_signing_twice_gives_the_same_bytes(tmp_path: Path) -> None:
    document = form()
    add_field(document, "taxpayer_signature")
    source = as_bytes(document)
    book = grant_book(tmp_path)
    assert sign(source, book).pdf == sign(source, book).pdf


def test_where_nothing_is_placed_the_bytes_stay(tmp_path: Path) -> None:
    document = form()
    add_field(document, "somebody_else")
    source = as_bytes(document)
    assert sign(source, grant_book(tmp_path)).pdf is source


def test_the_xfa_twin_of_a_signed_form_goes(tmp_path: Path) -> None:
    document = form()
    add_field(document, "taxpayer_signature")
    document.Root.AcroForm.XFA = document.make_stream(b"<xdp/>")
    with pikepdf.open(io.BytesIO(sign(document, grant_book(tmp_path)).pdf)) as result:
        assert "/XFA" not in result.Root.AcroForm

"""Fields that ask and get nothing, each with its reason."""

import io
from pathlib import Path

import pikepdf
import pytest
from pikepdf import Array, Dictionary, Name, String
from signing_samples import RULE, add_field, as_bytes, form, grant_book, grant_text, sign

from packets.base.errors import Damaged, Locked, UsageError
from packets.recipe.model import SignRule


def why_missing(tmp_path: Path, document: pikepdf.Pdf, *rules: SignRule) -> str:
    signed = sign(document, grant_book(tmp_path), *rules)
    assert signed.placements == ()
    (missing,) = signed.missing
    return missing.why


def test_without_a_grant_nothing_is_placed(tmp_path: Path) -> None:
    document = form()
    add_field(document, "spouse_signature")
    rule = SignRule(role="spouse", on=("form-*",), fields=("spouse_signature*",))
    assert "no grant of the spouse is recorded" in why_missing(tmp_path, document, rule)


def test_a_refused_grant_says_why(tmp_path: Path) -> None:
    document = form()
    add_field(document, "taxpayer_signature")
    signed = sign(document, grant_book(tmp_path, grant_text(how='"stamp"')))
    assert "only an ERO or a preparer" in signed.missing[0].why
    assert signed.pdf == as_bytes(document)


def test_a_rule_applies_on_its_own_categories_only(tmp_path: Path) -> None:
    document = form()
    add_field(document, "taxpayer_signature")
    signed = sign(document, grant_book(tmp_path), categories={1: "form-1040"})
    assert signed.placements == signed.missing == ()
    assert sign(document, grant_book(tmp_path), categories={}).placements == ()


def test_a_filled_text_field_is_not_overwritten(tmp_path: Path) -> None:
    document = form()
    add_field(document, "taxpayer_signature", FT=Name.Tx, V=String("Pat Example"))
    assert "not overwritten" in why_missing(tmp_path, document)


def test_a_field_that_already_shows_something_is_not_overwritten(tmp_path: Path) -> None:
    document = form()
    look = document.make_stream(b"BT /Helv 9 Tf (Pat) Tj ET")
    look.Subtype, look.BBox = Name.Form, Array([0, 0, 200, 30])
    add_field(document, "taxpayer_signature", AP=Dictionary(N=look))
    assert "not overwritten" in why_missing(tmp_path, document)


def test_a_cryptographic_signature_counts_and_stays(tmp_path: Path) -> None:
    document = form()
    value = Dictionary(Type=Name.Sig, Contents=String("x"), ByteRange=Array([0, 1, 2, 3]))
    add_field(document, "taxpayer_signature", V=document.make_indirect(value))
    signed = sign(document, grant_book(tmp_path))
    assert signed.placements == signed.missing == ()
    assert [done.field for done in signed.already] == ["taxpayer_signature"]
    assert signed.pdf == as_bytes(document)


def test_a_signature_field_holding_something_else_is_reported(tmp_path: Path) -> None:
    document = form()
    add_field(document, "taxpayer_signature", V=Dictionary(Type=Name.Sig))
    assert "not a signature" in why_missing(tmp_path, document)


@pytest.mark.parametrize(
    ("rect", "reason"),
    [
        (None, "no place"),
        ((1, 2, 3), "no place"),
        ((100, 100, 100, 100), "no room"),
        ((100, 100, 300, 102), "no room"),
        ((5000, 5000, 5200, 5030), "outside"),
    ],
)
def test_a_field_without_a_usable_place_is_reported(
    tmp_path: Path, rect: tuple[float, ...] | None, reason: str
) -> None:
    document = form()
    add_field(document, "taxpayer_signature", rect)
    assert reason in why_missing(tmp_path, document)


def test_a_box_that_is_no_signature_field_is_reported(tmp_path: Path) -> None:
    document = form()
    add_field(document, "taxpayer_signature", FT=Name.Btn)
    assert "neither" in why_missing(tmp_path, document)


def test_a_hidden_field_asks_for_nothing(tmp_path: Path) -> None:
    document = form()
    add_field(document, "taxpayer_signature", F=2)
    signed = sign(document, grant_book(tmp_path))
    assert signed.placements == signed.missing == ()


def test_a_field_that_two_roles_claim_gets_nothing(tmp_path: Path) -> None:
    document = form()
    add_field(document, "joint_signature")
    rules = [
        SignRule(role=role, on=("form-8879",), fields=("*_signature",))
        for role in ("taxpayer", "spouse")
    ]
    assert "two roles" in why_missing(tmp_path, document, *rules)


def test_a_name_written_out_beats_a_pattern(tmp_path: Path) -> None:
    document = form()
    add_field(document, "taxpayer_signature")
    other = SignRule(role="spouse", on=("form-8879",), fields=("*_signature",))
    exact = SignRule(role="taxpayer", on=("form-8879",), fields=("taxpayer_signature",))
    (placed,) = sign(document, grant_book(tmp_path), other, exact).placements
    assert placed.role == "taxpayer"


def test_no_date_is_written_without_its_signature(tmp_path: Path) -> None:
    document = form()
    add_field(document, "taxpayer_sign_date", (400, 100, 500, 120), FT=Name.Tx)
    signed = sign(document, grant_book(tmp_path))
    assert signed.pdf == as_bytes(document)


def test_another_date_in_the_field_is_reported(tmp_path: Path) -> None:
    document = form()
    add_field(document, "taxpayer_signature")
    date = String("01/01/2020")
    add_field(document, "taxpayer_sign_date", (400, 100, 500, 120), FT=Name.Tx, V=date)
    signed = sign(document, grant_book(tmp_path))
    assert [missing.field for missing in signed.missing] == ["taxpayer_sign_date"]
    assert signed.placements[0].dated == ""


def test_a_date_that_does_not_fit_is_reported(tmp_path: Path) -> None:
    document = form()
    add_field(document, "taxpayer_signature")
    add_field(document, "taxpayer_sign_date", (400, 100, 410, 120), FT=Name.Tx)
    assert "does not fit" in sign(document, grant_book(tmp_path)).missing[0].why


@pytest.mark.parametrize("date_format", ["", "東京 %Y", "x" * 80])
def test_a_date_format_that_gives_no_date_is_a_fault_of_the_recipe(
    tmp_path: Path, date_format: str
) -> None:
    document = form()
    add_field(document, "taxpayer_signature")
    add_field(document, "taxpayer_sign_date", (400, 100, 500, 120), FT=Name.Tx)
    rule = RULE.model_copy(update={"date_format": date_format})
    with pytest.raises(UsageError, match="date_format"):
        sign(document, grant_book(tmp_path), rule)


def test_a_circle_of_parents_ends(tmp_path: Path) -> None:
    document = form()
    parent = document.make_indirect(Dictionary(T=String("a"), FT=Name.Sig))
    child = add_field(document, "taxpayer_signature", parent=parent)
    parent.Parent = child
    assert sign(document, grant_book(tmp_path)).pdf


def test_mistyped_forms_are_no_crash(tmp_path: Path) -> None:
    document = form(pages=2)
    add_field(document, None, T=Name.NotText, Rect=String("x"), F=String("y"), MK=Array([1]))
    add_field(document, "taxpayer_signature", DA=Array([]), Q=String("z"), MK=Dictionary(R=Name.X))
    document.pages[1].obj.Annots = Dictionary()
    document.pages[0].obj.Annots.append(Array([3]))
    document.Root.AcroForm.Fields = String("none")
    assert len(sign(document, grant_book(tmp_path)).placements) == 1


def test_what_is_not_a_pdf_is_damaged(tmp_path: Path) -> None:
    with pytest.raises(Damaged):
        sign(b"no document", grant_book(tmp_path))


def test_a_document_with_a_password_is_locked(tmp_path: Path) -> None:
    out = io.BytesIO()
    form().save(out, encryption=pikepdf.Encryption(user="a", owner="b"))
    with pytest.raises(Locked):
        sign(out.getvalue(), grant_book(tmp_path))

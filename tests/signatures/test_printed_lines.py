"""Printed lines on drawn forms: found for the right role, filled, left alone when unsure."""

from pathlib import Path
from typing import Any

import pytest
from drawn_forms import FORMS, Form, Sheet, drawn, scanned
from signing_samples import FIGURES, TODAY, add_field, grant_book, grant_text

from packets.reading.ocr import OcrReader
from packets.recipe.model import LineRule, Role, SignRule
from packets.signatures.grants import GrantBook
from packets.signatures.known_lines import known_lines
from packets.signatures.placing import sign_document
from packets.signatures.records import SignedDocument

ALL = '["form-*", "engagement-letter", "consent-*", "state-*", "w-*"]'
BANK = '["bank-product"]'
COUPLE = {Role.TAXPAYER: "Ana B Sample", Role.SPOUSE: "Ben Sample"}


@pytest.fixture
def book(tmp_path: Path) -> GrantBook:
    """Everybody has allowed everything; the spouse's ink is red."""
    grants = [
        grant_text(
            id=f'"{role}-{number}"',
            role=f'"{role}"',
            image='"spouse.png"' if role == "spouse" else '"taxpayer.png"',
            covers=covers,
        )
        for role in ("taxpayer", "spouse", "ero", "preparer")
        for number, covers in enumerate((ALL, BANK))
    ]
    return grant_book(tmp_path / "signatures", *grants)


def signed(
    pdf: bytes, category: str, book: GrantBook, names: Any = None, **more: Any
) -> SignedDocument:
    return sign_document(
        pdf,
        0,
        {1: category},
        more.pop("rules", ()),
        book,
        tax_year=2025,
        today=TODAY,
        lines=more.pop("lines", known_lines()),
        names=COUPLE if names is None else names,
        figures=lambda page: FIGURES,
        **more,
    )


def roles(result: SignedDocument) -> list[str]:
    """Whose signature was placed, from the top of the page."""
    return [place.role for place in sorted(result.placements, key=lambda place: place.box.y0)]


def check(form: Form, result: SignedDocument) -> None:
    assert roles(result) == list(form.roles)
    assert [line for line in result.missing if not line.is_date] == []
    own = [place for place in result.placements if place.role in ("taxpayer", "spouse")]
    assert all(place.dated == "03/03/2026" for place in own)


NAMED = {"form-2848", "form-8821", "form-4506-c", "w-4", "w-9"}


def head(form: Form) -> str:
    return "Ana B Sample" if form.category in NAMED else "A form"


@pytest.mark.parametrize("name", FORMS)
def test_every_line_of_every_form_is_found_and_filled(name: str, book: GrantBook) -> None:
    form = FORMS[name]
    check(form, signed(drawn(form.draw, head=head(form)), form.category, book))


@pytest.mark.parametrize("name", ["8879", "4506-c", "4506-c boxed", "consent"])
@pytest.mark.parametrize("how", [{"font": "Courier", "scale": 0.8}, {"spread": 0.6}], ids=str)
def test_wide_letters_and_split_words_hide_no_line(
    name: str, how: dict[str, Any], book: GrantBook
) -> None:
    form = FORMS[name]
    check(form, signed(drawn(form.draw, head=head(form), **how), form.category, book))


@pytest.mark.parametrize("name", ["1040-sr", "1040-x older", "8879", "4506-c", "consent"])
@pytest.mark.parametrize(
    "how",
    [
        {"font": "Times-Roman"},
        {"scale": 0.7},
        {"scale": 1.08},
        {"rotate": 90},
        {"rotate": 180},
        {"rotate": 270},
        {"turn": 90},
        {"turn": 180},
        {"turn": 270},
        {"turn": 90, "rotate": 90},
    ],
    ids=str,
)
def test_another_font_scale_or_turn_hides_no_line(
    name: str, how: dict[str, Any], book: GrantBook
) -> None:
    form = FORMS[name]
    result = signed(drawn(form.draw, head=head(form), **how), form.category, book)
    assert sorted(roles(result)) == sorted(form.roles)
    assert [line for line in result.missing if not line.is_date] == []


@pytest.mark.parametrize("name", ["1040-sr", "8879", "engagement letter"])
def test_a_clean_scan_is_read_by_ocr(name: str, book: GrantBook) -> None:
    form = FORMS[name]
    page = scanned(drawn(form.draw, head="Form with some words so that it is read"))
    with OcrReader() as ocr:
        check(form, signed(page, form.category, book, ocr=ocr))


def test_a_page_that_cannot_be_read_says_that_its_lines_were_not_found(book: GrantBook) -> None:
    form = FORMS["8879"]
    blurred = scanned(drawn(form.draw), dpi=30)
    with OcrReader() as ocr:
        result = signed(blurred, form.category, book, ocr=ocr)
    assert result.placements == ()
    assert {line.role for line in result.missing} == {"taxpayer", "spouse"}
    assert all("not found" in line.why or "no line" in line.why for line in result.missing)


@pytest.mark.parametrize("category", ["form-8453", "form-4868", "state-return", "letter"])
def test_a_paper_that_need_not_have_a_line_is_not_told_of(category: str, book: GrantBook) -> None:
    page = drawn(lambda s: s.text(72, 300, "A page with words and no line to sign on."))
    assert signed(page, category, book).missing == ()


@pytest.mark.parametrize("category", ["form-1040", "form-8879"])
def test_a_return_whose_lines_are_not_found_says_so_once_for_all_its_pages(
    category: str, book: GrantBook
) -> None:
    page = drawn(lambda s: s.text(72, 300, "A page with words and no line to sign on."))
    with pikepdf_of(page) as document:
        document.pages.append(document.pages[0])
        pdf = bytes_of(document)
    result = sign_document(
        pdf, 0, {1: category, 2: category}, (), book, tax_year=2025, today=TODAY,
        lines=known_lines(), names=COUPLE,
    )  # fmt: skip
    assert [(line.role, line.page) for line in result.missing] == [("taxpayer", 2), ("spouse", 2)]


def test_without_a_spouse_nobody_expects_the_spouses_line(book: GrantBook) -> None:
    alone = {Role.TAXPAYER: "Ana B Sample"}
    result = signed(
        drawn(lambda s: s.right(300, "Your signature"), head="A form"), "form-8879", book, alone
    )
    assert roles(result) == ["taxpayer"]
    assert result.missing == ()


def test_a_label_inside_a_sentence_is_no_line(book: GrantBook) -> None:
    def prose(s: Sheet) -> None:
        s.text(72, 300, "Below this line stands your signature. It means that you agree.", 9)
        s.rule(72, 320, 540, 320)
        s.text(72, 340, "Your signature means that you agree with all of it.", 9)
        s.rule(72, 360, 540, 360)

    result = signed(drawn(prose), "engagement-letter", book)
    assert (result.placements, result.missing) == ((), ())


def test_a_line_on_which_something_stands_is_left_alone(book: GrantBook) -> None:
    def filled(s: Sheet) -> None:
        s.above(400, "Client signature", 9)
        s.text(80, 397, "Ana B. Sample", 11)

    result = signed(drawn(filled, head="A letter of ours"), "engagement-letter", book)
    assert result.placements == ()
    assert ["stands on the line already" in line.why for line in result.missing] == [True]


def test_ink_on_a_scan_counts_where_a_grant_is_bound_to_that_very_file(tmp_path: Path) -> None:
    def inked(s: Sheet) -> None:
        s.above(400, "Client signature", 9)
        s.canvas.setLineWidth(2)
        s.canvas.line(90, 394, 200, 410)

    pdf = drawn(inked, head="A letter of ours")
    text = grant_text(covers=ALL, how='"wet-ink-scan"', bound=f'document_sha256 = "{"a" * 64}"\n')
    result = signed(pdf, "engagement-letter", grant_book(tmp_path, text), source_sha256="a" * 64)
    assert [line.role for line in result.already] == ["taxpayer"]
    other = signed(pdf, "engagement-letter", grant_book(tmp_path, text), source_sha256="b" * 64)
    assert (other.already, len(other.missing)) == ((), 1)


@pytest.mark.parametrize(
    ("printed", "asked"),
    [("Ana B Sample", "taxpayer"), ("Ben Sample", "spouse"), ("Somebody Else", None)],
)
def test_a_paper_of_one_person_is_signed_by_the_one_it_names(
    printed: str, asked: str | None, book: GrantBook
) -> None:
    result = signed(drawn(FORMS["8821"].draw, head=printed), "form-8821", book)
    assert roles(result) == ([asked] if asked else [])
    assert bool(result.missing) is (asked is None)


def test_lines_of_two_roles_at_one_place_get_nothing(book: GrantBook) -> None:
    def both(s: Sheet) -> None:
        s.above(400, "Client signature", 9)
        s.text(160, 409, "Spouse signature", 9)

    rules = [rule for rule in known_lines() if "engagement-letter" in rule.on]
    ours = LineRule(
        role="spouse",
        on=("engagement-letter",),
        labels=("spouse signature",),
        side="above",
        at=(-88, -10),
        room=(210, 18),
    )
    result = signed(drawn(both), "engagement-letter", book, lines=(*rules, ours))
    assert "spouse" not in roles(result)


def test_a_recipes_line_is_found_and_counts_before_the_houses_own(book: GrantBook) -> None:
    ours = LineRule(
        role="ero",
        on=("engagement-letter",),
        labels=("Client signature", "For the firm"),
        side="above",
        at=(0, -10),
        room=(200, 18),
        date_labels=("Date",),
        date_at=(0, -10),
        date_format="%d %b %Y",
    )

    def letter(s: Sheet) -> None:
        s.above(400, "Client signature", 9)
        s.above(450, "For the firm", 9)

    result = signed(drawn(letter), "engagement-letter", book, lines=(ours, *known_lines()))
    assert roles(result) == ["ero", "ero"]


def test_a_named_field_stays_first(book: GrantBook) -> None:
    document = pikepdf_of(drawn(FORMS["8879"].draw))
    add_field(document, "taxpayer_signature", rect=(140, 452, 400, 470))
    rule = SignRule(role="taxpayer", on=("form-8879",), fields=("taxpayer_signature",))
    result = signed(bytes_of(document), "form-8879", book, rules=(rule,))
    fields = {place.role: place.field for place in result.placements}
    assert fields["taxpayer"] == "taxpayer_signature"
    assert fields["spouse"].startswith("printed: ")
    assert len(result.placements) == 3


def test_a_signature_field_that_no_rule_names_serves_the_line_it_lies_on(book: GrantBook) -> None:
    document = pikepdf_of(drawn(FORMS["8879"].draw))
    add_field(document, "Signature7", rect=(140, 452, 400, 470))
    result = signed(bytes_of(document), "form-8879", book)
    assert {place.role: place.field for place in result.placements}["taxpayer"] == "Signature7"


def test_a_page_that_is_nobodys_form_is_not_read(book: GrantBook) -> None:
    pdf = drawn(FORMS["8879"].draw)
    assert signed(pdf, "w-2", book) == SignedDocument(pdf, (), ())


def pikepdf_of(pdf: bytes) -> Any:
    import io

    import pikepdf
    from pikepdf import Array, Dictionary

    document = pikepdf.open(io.BytesIO(pdf))
    document.Root.AcroForm = document.make_indirect(Dictionary(Fields=Array()))
    return document


def bytes_of(document: Any) -> bytes:
    from signing_samples import as_bytes

    return as_bytes(document)

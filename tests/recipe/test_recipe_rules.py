"""What must hold between the keys of a recipe."""

from pathlib import Path

import pytest

from packets.base.errors import Fault, FileFaults
from packets.recipe.shelf import load_recipe

KNOWN = ("form-1040", "form-8867", "form-8879", "w-2", "1099-int", "consent-disclosure", "letter")


def recipe_text(audience: str = "client", parts: str = "", rest: str = "", top: str = "") -> str:
    parts = parts or '[[part]]\nheading = "All"\ntake = ["form-*"]\n'
    return (
        f'recipe = 1\nname = "mine"\naudience = "{audience}"\n'
        + (top or 'title = "Return {tax_year}"\n')
        + parts
        + rest
    )


def faults_of(tmp_path: Path, text: str, known: tuple[str, ...] | None = None) -> list[Fault]:
    path = tmp_path / "mine.toml"
    path.write_text(text)
    try:
        load_recipe(path, known)
    except FileFaults as error:
        return list(error.faults)
    return []


def part(heading: str, take: str, rest: str = "") -> str:
    return f'[[part]]\nheading = "{heading}"\ntake = {take}\n{rest}\n'


@pytest.mark.parametrize("audience", ["client", "third-party", "office", "agency"])
def test_a_plain_recipe_of_each_audience_has_no_faults(tmp_path: Path, audience: str) -> None:
    assert faults_of(tmp_path, recipe_text(audience), KNOWN) == []


@pytest.mark.parametrize(
    ("parts", "key", "what"),
    [
        (part("A", '["w-2"]') + part(" a ", '["form-*"]'), "part[1].heading", "same heading"),
        (part("A", '["w-2", "w-2"]'), "part[0].take[1]", "twice in the same list"),
        (part("A", '["w-2"]', 'required = ["form-1040"]'), "part[0].required[0]", "not admit"),
        (
            part("A", '["form-*"]', 'leave = ["form-8*"]\nrequired = ["form-8867"]'),
            "part[0].required[0]",
            "takes it out",
        ),
        (part("A", '["*"]') + part("B", '["w-2"]'), "part[1].take[0]", "never takes a page"),
        (part("A", '["w-*"]') + part("B", '["w-*"]'), "part[1].take[0]", "never takes a page"),
        (part("A", '["form*"]', 'signed_by = ["spouse"]'), "part[0].signed_by[0]", "[[sign]]"),
    ],
)
def test_a_part_that_cannot_do_what_it_says_is_a_fault(
    tmp_path: Path, parts: str, key: str, what: str
) -> None:
    found = faults_of(tmp_path, recipe_text(parts=parts))
    assert any(key in fault.where and what in fault.what for fault in found)


def test_a_required_category_that_an_earlier_part_takes_is_a_fault(tmp_path: Path) -> None:
    parts = part("A", '["form-*"]') + part("B", '["form-1*"]', 'required = ["form-1040"]')
    (fault,) = faults_of(tmp_path, recipe_text(parts=parts))
    assert "part[0] takes them first" in fault.what


def test_what_an_earlier_part_leaves_a_later_one_may_take(tmp_path: Path) -> None:
    parts = part("A", '["*"]', 'leave = ["w-*"]') + part("B", '["w-2", "w-*"]')
    assert faults_of(tmp_path, recipe_text(parts=parts), KNOWN) == []


def test_a_pattern_that_fits_no_known_category_is_a_fault_with_the_nearest(
    tmp_path: Path,
) -> None:
    parts = part("A", '["form-1o40"]', 'leave = ["zz*"]\nrequired = ["form-1o40"]')
    found = faults_of(tmp_path, recipe_text(parts=parts), KNOWN)
    assert [fault.what for fault in found] == ["no category fits this"] * 3
    assert [fault.nearest for fault in found] == ["form-1040", "", "form-1040"]
    assert faults_of(tmp_path, recipe_text(parts=parts), None) == []


@pytest.mark.parametrize("audience", ["client", "third-party"])
def test_personal_numbers_cannot_be_left_unmasked(tmp_path: Path, audience: str) -> None:
    rest = '[mask]\nkinds = ["ssn", "ein"]\nkeep = ["ein", "itin"]\n'
    found = faults_of(tmp_path, recipe_text(audience, rest=rest))
    assert ["mask.kinds" in found[0].where, "mask.keep[1]" in found[1].where] == [True, True]
    assert "itin, atin" in found[0].what


def test_an_empty_list_of_kinds_is_a_fault(tmp_path: Path) -> None:
    (fault,) = faults_of(tmp_path, recipe_text(rest="[mask]\nkinds = []\n"))
    assert "ssn, itin, atin" in fault.what


def test_a_third_party_gets_no_page_unnamed(tmp_path: Path) -> None:
    (fault,) = faults_of(tmp_path, recipe_text("third-party", part("A", '["w-2", "*"]')))
    assert "part[0].take[1]" in fault.where


@pytest.mark.parametrize(
    ("audience", "table"),
    [
        ("office", '[mask]\nwith = "*"\n'),
        ("office", '[mail]\nsubject = "x"\n'),
        ("agency", '[mask]\nwith = "X"\n'),
        ("agency", '[seal]\npassphrase = "ask"\n'),
        ("agency", '[stamp]\ntext = "Copy"\n'),
        ("agency", '[mail]\nsubject = "x"\n'),
        ("agency", "[cover]\nsheet = true\n"),
        ("agency", "[cover]\nsheet = false\n"),
        ("agency", "[cover]\nsheet = false\ndividers = false\nsigning_record = true\n"),
    ],
)
def test_a_table_against_the_audience_is_a_fault(tmp_path: Path, audience: str, table: str) -> None:
    (fault,) = faults_of(tmp_path, recipe_text(audience, rest=table))
    assert "leave this table out" in fault.what


def test_an_agency_packet_gets_no_sheets_even_when_nothing_is_said(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text(recipe_text("agency"))
    cover = load_recipe(path).recipe.cover
    assert (cover.sheet, cover.dividers) == (False, False)
    path.write_text(recipe_text("client"))
    assert load_recipe(path).recipe.cover.sheet is True


@pytest.mark.parametrize(
    ("top", "rest", "key"),
    [
        ('title = "Return of {household}"\n', "", "title"),
        ('title = "Return {tax_year"\n', "", "title"),
        ('title = "Return\\nBcc: x"\n', "", "title"),
        ('title = "  "\n', "", "title"),
        ('title = "Return 078-05-1120"\n', "", "title"),
        ("", '[mail]\nsubject = "Hi\\r\\nBcc: x"\n', "mail.subject"),
        ("", '[mail]\nsubject = "{name}"\n', "mail.subject"),
        ("", '[stamp]\ntext = "{tax_year}"\n', "stamp.text"),
    ],
)
def test_a_text_that_must_not_reach_a_reader_is_a_fault(
    tmp_path: Path, top: str, rest: str, key: str
) -> None:
    (fault,) = faults_of(tmp_path, recipe_text(top=top, rest=rest))
    assert fault.where.endswith(f", {key}")


SIGN = '[[sign]]\nrole = "{}"\non = ["form-8879"]\nfields = ["{}"]\n'


def test_one_field_cannot_be_signed_by_two_roles(tmp_path: Path) -> None:
    rest = SIGN.format("taxpayer", "*_signature") + SIGN.format("spouse", "spouse_*")
    (fault,) = faults_of(tmp_path, recipe_text(rest=rest))
    assert fault.where.endswith("sign[1].fields[0]")


def test_a_role_whose_rule_is_for_other_forms_has_no_rule(tmp_path: Path) -> None:
    parts = part("A", '["w-2"]', 'signed_by = ["taxpayer"]')
    rest = SIGN.format("taxpayer", "taxpayer_signature")
    (fault,) = faults_of(tmp_path, recipe_text(parts=parts, rest=rest))
    assert fault.where.endswith("part[0].signed_by[0]")


@pytest.mark.parametrize("date_format", ["%H:%M", "soon", "%", "%m/%d/%Q"])
def test_a_date_format_that_prints_no_date_is_a_fault(tmp_path: Path, date_format: str) -> None:
    rest = SIGN.format("taxpayer", "x") + f'date_format = "{date_format}"\n'
    (fault,) = faults_of(tmp_path, recipe_text(rest=rest))
    assert fault.where.endswith("sign[0].date_format")


def test_faults_of_values_and_faults_between_keys_come_together(tmp_path: Path) -> None:
    text = recipe_text(
        "agency",
        parts=part("A", '["W 2"]') + part("A", '"w-2"'),
        rest='[seal]\nwords = 3\n[stamp]\ntext = "x"\n',
    ).replace("title", "tilte")
    found = [fault.where.split(", ")[-1] for fault in faults_of(tmp_path, text)]
    assert sorted(found) == [
        "part[0].take[0]",
        "part[1].heading",
        "part[1].take",
        "seal",
        "seal.words",
        "stamp",
        "tilte",
        "title",
    ]


def test_a_passphrase_typed_into_a_recipe_is_not_repeated(tmp_path: Path) -> None:
    rest = '[seal]\npassphrase = "generat3 correct horse"\n'
    (fault,) = faults_of(tmp_path, recipe_text(rest=rest))
    assert "horse" not in str(fault)
    assert fault.nearest == ""

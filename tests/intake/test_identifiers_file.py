"""identifiers.toml: what its values may be, and that no fault ever shows one."""

from pathlib import Path

import pytest
from client_folders import lay_out, write_secret
from hypothesis import given
from hypothesis import strategies as st

from packets.base.errors import FileFaults
from packets.identifiers.kinds import Kind
from packets.intake.client_folder import open_client_folder
from packets.intake.identifiers_file import LENGTHS, digits_of, load_identifiers


def _file(tmp_path: Path, text: str) -> Path:
    return write_secret(tmp_path / "identifiers.toml", text)


def _entry(kind: str, value: str, holder: str = "taxpayer") -> str:
    return f'[[identifier]]\nkind = "{kind}"\nvalue = "{value}"\nholder = "{holder}"\n'


def test_given_numbers_come_as_secret_digits_with_kind_and_holder(tmp_path: Path) -> None:
    text = _entry("ssn", "000-12-3456") + _entry("account", "x 0012 3456-78", "spouse")
    root = lay_out(tmp_path / "c", identifiers=text)
    known = open_client_folder(root).known
    assert [(n.kind, n.digits.reveal(), n.holder, n.given) for n in known] == [
        (Kind.SSN, "000123456", "taxpayer", True),
        (Kind.ACCOUNT, "0012345678", "spouse", True),
    ]
    assert "3456" not in repr(known)


def test_the_same_number_twice_is_one(tmp_path: Path) -> None:
    text = _entry("ssn", "000-12-3456") + _entry("ssn", "000 12 3456", "spouse")
    assert len(load_identifiers(_file(tmp_path, text))) == 1


@pytest.mark.parametrize(
    ("kind", "value"),
    [
        ("ssn", "000-12-345"),
        ("ssn", "000-12-34567"),
        ("itin", "987-65-432x"),
        ("ein", "00-123456"),
        ("atin", ""),
        ("card", "4111111"),
        ("card", "41111111111111111111"),
        ("account", "1234"),
        ("account", "12AB3456"),
        ("account", "1" * 21),
        ("ip-pin", "1234567"),
        ("ip-pin", "1234"),
        ("ssn", "0" * 5000),
    ],
)
def test_a_value_that_cannot_be_its_kind_is_a_fault_that_does_not_show_it(
    tmp_path: Path, kind: str, value: str
) -> None:
    with pytest.raises(FileFaults) as caught:
        load_identifiers(_file(tmp_path, _entry(kind, value)))
    assert "line 3, identifier[0].value" in str(caught.value)
    assert kind in str(caught.value)
    assert not value or value not in str(caught.value)


def test_all_faults_are_named_at_once_and_none_shows_a_number(tmp_path: Path) -> None:
    text = (
        _entry("ssm", "000-12-3456")
        + _entry("ssn", "000-12-34")
        + "[[identifier]]\nkind = 'ein'\nvalue = 001234567\n"
        + "[[identifier]]\nkind = 'ein'\nvalue = 1234567\n000-12-9876 = 'ssn'\n"
        + _entry("ssn", "666-12-3456", "holder 666-12-3456")
    )
    for variant in (text, text.replace("value = 001234567", "value = '00-1234567'")):
        with pytest.raises(FileFaults) as caught:
            load_identifiers(_file(tmp_path, variant))
        shown = str(caught.value) + repr(caught.value) + caught.value.remedy
        assert not any(run in shown for run in ("3456", "34567", "9876", "1234567"))
    assert len(caught.value.faults) == 5


def test_a_value_in_a_fault_is_not_in_the_traceback_either(tmp_path: Path) -> None:
    with pytest.raises(FileFaults) as caught:
        load_identifiers(_file(tmp_path, _entry("ssn", "000-12-34567")))
    assert caught.value.__cause__ is None
    assert caught.value.__context__ is None


def test_an_empty_file_gives_no_numbers(tmp_path: Path) -> None:
    assert load_identifiers(_file(tmp_path, "# nothing yet\n")) == ()


_SEPARATORS = st.sampled_from(["", "-", " ", "–", "\u00a0", ".", "/", "\u2011", "\u00ad"])


@given(st.sampled_from(list(Kind)), st.data())
def test_any_digits_of_the_right_count_are_read_whatever_stands_between(
    kind: Kind, data: st.DataObject
) -> None:
    fewest, most = LENGTHS[kind]
    digits = data.draw(st.text("0123456789", min_size=fewest, max_size=most))
    zero = data.draw(st.sampled_from([ord("0"), 0x0660, 0xFF10]))  # ASCII, Arabic, full width
    written = "".join(chr(zero + int(d)) + data.draw(_SEPARATORS) for d in digits)
    if len(written) <= 60:
        assert digits_of(kind, written) == digits


@given(st.sampled_from(list(Kind)), st.text(max_size=80))
def test_any_text_gives_digits_of_the_kind_or_nothing(kind: Kind, text: str) -> None:
    digits = digits_of(kind, text)
    fewest, most = LENGTHS[kind]
    assert digits is None or (
        digits.isascii() and digits.isdigit() and fewest <= len(digits) <= most
    )

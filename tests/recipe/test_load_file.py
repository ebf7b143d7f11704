"""One reading of a file names everything that is wrong with it."""

import datetime as dt
import os
from collections.abc import Callable
from pathlib import Path
from typing import Annotated

import pytest
from pydantic import Field, field_validator

from packets.base.errors import ExitStatus, Fault, FileFaults
from packets.recipe.key_faults import KeyFault
from packets.recipe.loader import load_file
from packets.recipe.model import SECRET, Table
from packets.recipe.text_file import LARGEST_TEXT_FILE


class Person(Table):
    name: str
    born: dt.date | None = None


class Entry(Table):
    value: Annotated[str, Field(pattern=r"^[0-9-]+$", json_schema_extra=SECRET)]
    share: Annotated[float, Field(gt=0, le=1)] = 1.0

    @field_validator("share")
    @classmethod
    def _no_thirds(cls, share: float) -> float:
        if share == 0.3333:
            raise ValueError("0.3333 is not a share")
        if share == 0.25:
            raise ValueError("a share of one half or all")
        return share


class Sample(Table):
    year: Annotated[int, Field(ge=1990, le=2100)]
    signed: bool = False
    person: tuple[Person, ...] = ()
    entry: tuple[Entry, ...] = ()


Write = Callable[[str | bytes], Path]


@pytest.fixture
def write(tmp_path: Path) -> Write:
    def to_file(content: str | bytes) -> Path:
        path = tmp_path / "sample.toml"
        path.write_bytes(content.encode() if isinstance(content, str) else content)
        return path

    return to_file


def faults_of(path: Path) -> tuple[Fault, ...]:
    with pytest.raises(FileFaults) as caught:
        load_file(path, Sample)
    assert caught.value.exit_code is ExitStatus.USAGE
    # Neither chained nor kept: pydantic's own error would carry the values along.
    assert caught.value.__cause__ is None
    assert caught.value.__context__ is None
    return caught.value.faults


def test_a_right_file_is_loaded(write: Write) -> None:
    path = write('year = 2025\n[[person]]\nname = "A"\nborn = 1980-02-29\n')
    loaded = load_file(path, Sample)
    assert loaded.person == (Person(name="A", born=dt.date(1980, 2, 29)),)


def test_every_fault_is_named_at_once_in_the_order_of_lines(write: Write) -> None:
    path = write(
        "year = 1800\n"
        'signed = "yes"\n'
        "colour = 1\n"
        "\n"
        "[[person]]\n"
        'name = "A"\n'
        "[[person]]\n"
        'nmae = "B"\n'
        'born = "1980-02-29"\n'
        "[[entry]]\n"
        'value = "none"\n'
        "share = 2\n"
    )
    assert [fault.where for fault in faults_of(path)] == [
        "line 1, year",
        "line 2, signed",
        "line 3, colour",
        "line 7, person[1].name",
        "line 8, person[1].nmae",
        "line 9, person[1].born",
        "line 11, entry[0].value",
        "line 12, entry[0].share",
    ]


@pytest.mark.parametrize(
    ("line", "what"),
    [
        ('year = "2025"', "whole number"),
        ("year = 2025.0", "whole number"),
        ("year = true", "whole number"),
        ("signed = 1", "true or false"),
        ('signed = "true"', "true or false"),
        ("person = [{name = 5}]", "text in quotation marks"),
        ('person = [{name = "A", born = "2020-01-01"}]', "date without quotation marks"),
        ('person = [{name = "A", born = 2020-01-01T10:00:00}]', "date without quotation marks"),
        ('person = [{name = "A", born = 20200101}]', "date without quotation marks"),
        ('person = ["A"]', "table"),
        ('[person]\nname = "A"', "[[person]]"),
    ],
)
def test_a_value_is_what_it_is_written_as(write: Write, line: str, what: str) -> None:
    text = line if line.startswith("year") else "year = 2025\n" + line
    (fault,) = faults_of(write(text))
    assert what in fault.what


def test_an_unknown_key_names_the_known_ones_and_the_nearest(write: Write) -> None:
    (fault,) = faults_of(write("year = 2025\nsinged = true\n"))
    assert fault.allowed == "year, signed, person, entry"
    assert fault.nearest == "signed"


def test_a_top_key_below_a_heading_is_told_where_it_belongs(write: Write) -> None:
    (fault,) = faults_of(write('year = 2025\n[[person]]\nname = "A"\nsigned = true\n'))
    assert "top of the file" in fault.what


def test_a_missing_key_is_placed_at_its_table(write: Write) -> None:
    (fault,) = faults_of(write("year = 2025\n\n[[person]]\nborn = 1980-01-01\n"))
    assert fault.where == "line 3, person[0].name"


@pytest.mark.parametrize(
    "text",
    [
        'year = 2025\n[[entry]]\nvalue = "078-05-1120 x"\n',
        'year = 2025\n[[entry]]\nvalue = "1"\n"078-05-1120" = 1\n',
        'year = "078-05-1120"\n',
        "year = 78051120\n",
        'year = 2025\n[[entry]]\nvalue = "078-05-1120\n',
        "year = 2025\nvalue = 078-05-1120\n",
        '"078-05-1120" = 1\n"078-05-1120" = 2\n',
        "year = 2025\n078051120\n",
    ],
)
def test_no_message_repeats_digits_of_the_file(write: Write, text: str) -> None:
    path = write(text)
    with pytest.raises(FileFaults) as caught:
        load_file(path, Sample)
    shown = str(caught.value) + repr(caught.value) + repr(caught.value.faults)
    assert not any(run in shown for run in ("0780", "7805", "8051", "1120", "078-"))


def test_a_validator_that_repeats_its_value_is_not_quoted(write: Write) -> None:
    path = write('year = 2025\n[[entry]]\nvalue = "1"\nshare = 0.3333\n')
    (fault,) = faults_of(path)
    assert fault.what == "this value cannot stand here"


def test_a_validator_that_keeps_the_value_to_itself_is_quoted(write: Write) -> None:
    path = write('year = 2025\n[[entry]]\nvalue = "1"\nshare = 0.25\n')
    (fault,) = faults_of(path)
    assert fault.what == "a share of one half or all"


def test_faults_between_keys_come_together_with_all_others(write: Write) -> None:
    path = write("year = 1\nsigned = true\n")
    with pytest.raises(FileFaults) as caught:
        load_file(
            path,
            Sample,
            lambda table: [KeyFault(("signed",), "not yet")] if table["signed"] else [],
        )
    assert [fault.where for fault in caught.value.faults] == ["line 1, year", "line 2, signed"]


def test_every_repeated_key_is_named_with_its_first_line(write: Write) -> None:
    faults = faults_of(write("year = 2025\nyear = 2024\nsigned = true\n\nsigned = false\n"))
    assert [(fault.where, fault.what) for fault in faults] == [
        ("line 2, year", "this is written twice; the first is on line 1"),
        ("line 5, signed", "this is written twice; the first is on line 3"),
    ]


@pytest.mark.parametrize(
    ("text", "where", "what"),
    [
        ("year = 2025\nsigned = \n", "line 2, column 10", "value is missing"),
        ("year = 2025\nsigned = yes\n", "line 2, column 10", "without quotation marks"),
        ("year = 2025\n[[person]\n", "line 2, column 9", "closing bracket"),
        ("year = 2025 signed = true\n", "line 1, column 13", "one key on each line"),
        ('year = 2025\nname = "A\n', "line 2, column 10", "quotation mark"),
        ("year = 2025\ndate = 2025-02-30\n", "line 2, column 8", "no such date"),
        ("[a]\n[a]\n", "line 2, a", "twice"),
    ],
)
def test_a_syntax_fault_gives_its_line(write: Write, text: str, where: str, what: str) -> None:
    (fault,) = faults_of(write(text))
    assert fault.where == where
    assert what in fault.what


@pytest.mark.parametrize(
    ("data", "where", "what"),
    [
        (b"\xef\xbb\xbfyear = 2025\n", "line 1", "byte order mark"),
        ("year = 2025\n".encode("utf-16"), "line 1", "UTF-16"),
        (b"year = 2025\n\x00", "line 2", "NUL"),
        (b"year = 2025\n# caf\xe9\n", "line 2", "UTF-8"),
        (b"#" * (LARGEST_TEXT_FILE + 1), "the file", "too large"),
        (b"a = " + b"[" * 90_000, "the file", "nested"),
        (b"a = " + b"9" * 9_000, "the file", "too many digits"),
        (b"b = 1\na" + b".a" * 100_000 + b" = 1", "line 2", "too many dots"),
        (b'["a"' + b" . 'a'" * 30_000 + b"]", "line 1", "too many dots"),
        (b"", "line 1, year", "missing"),
    ],
)
def test_what_is_no_plain_text_is_refused_by_name(
    write: Write, data: bytes, where: str, what: str
) -> None:
    (fault,) = faults_of(write(data))
    assert fault.where == where
    assert what in fault.what


def test_what_is_no_file_is_refused_by_name(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    expected = {
        tmp_path: "a folder",
        tmp_path / "absent.toml": "no such file",
        pipe: "a pipe or device",
        Path("/dev/zero"): "a pipe or device",
        tmp_path / "nul\0.toml": "cannot be read",
        tmp_path / ("long" * 100): "cannot be read",
    }
    for path, what in expected.items():
        (fault,) = faults_of(path)
        assert what in fault.what


def test_a_number_in_a_path_is_not_repeated(tmp_path: Path) -> None:
    for name in ("078-05-1120.toml", "a 078051120.toml", "b_078_05_1120.toml", "00-1234567.toml"):
        with pytest.raises(FileFaults) as caught:
            load_file(tmp_path / name, Sample)
        assert "(number)" in str(caught.value)
    with pytest.raises(FileFaults, match="scan_20260302_0001"):
        load_file(tmp_path / "scan_20260302_0001.toml", Sample)

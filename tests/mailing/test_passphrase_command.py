"""`packets passphrase`: shown to the office alone, spelled for the telephone."""

import dataclasses
import io
import json
from pathlib import Path

import pikepdf
import pytest
from mail_samples import PASSPHRASE, client_folder, released
from pypdf import PdfReader

from packets.base.secret import Secret
from packets.cli.entry import run
from packets.cli.surroundings import Surroundings
from packets.mailing.call_sheet import call_sheet
from packets.mailing.spelling import in_groups, spelled
from packets.sealing.records import Released
from packets.sealing.standing import standing_passphrase

GOOD = "otter lantern quilt tundra maple"
NAME = "2025-0201-client-copy.pdf"


@pytest.fixture
def client(tmp_path: Path) -> Path:
    return client_folder(tmp_path)


@pytest.fixture
def packet(client: Path) -> Released:
    return released(client)


def test_it_is_not_shown_where_others_may_read_along(
    client: Path, packet: Released, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["passphrase", str(client)]) == 2
    out, err = capsys.readouterr()
    assert PASSPHRASE not in out + err
    assert "--show" in err


def test_it_is_shown_when_asked_for_in_words_or_json(
    client: Path, packet: Released, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["passphrase", str(client), "--show"]) == 0
    assert f"  {PASSPHRASE}\n" in capsys.readouterr().out
    assert run(["passphrase", str(client), "--show", "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert (document["packet"], document["passphrase"]) == (NAME, PASSPHRASE)


def test_the_last_packet_counts_unless_one_is_named(
    client: Path, packet: Released, capsys: pytest.CaptureFixture[str]
) -> None:
    released(client)
    assert run(["passphrase", str(client), "--show", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["packet"] == "2025-0201-client-copy-2.pdf"
    assert run(["passphrase", str(client), "--show", "--json", "--packet", NAME]) == 0
    assert json.loads(capsys.readouterr().out)["packet"] == NAME
    assert run(["passphrase", str(client), "--show", "--packet", "../engagement.toml"]) == 2


def test_a_passphrase_file_that_others_may_read_is_not_shown(
    client: Path, packet: Released
) -> None:
    assert packet.key_file is not None
    packet.key_file.chmod(0o644)
    assert run(["passphrase", str(client), "--show"]) == 2


def test_where_none_is_kept_that_is_said(client: Path) -> None:
    assert run(["passphrase", str(client), "--show"]) == 3


def test_the_call_sheet_spells_every_word_and_names_no_person(
    client: Path, packet: Released, capsys: pytest.CaptureFixture[str]
) -> None:
    sheet = client / "keys" / "sheet.pdf"
    assert run(["passphrase", str(client), "--call-sheet", str(sheet)]) == 0
    out, err = capsys.readouterr()
    assert PASSPHRASE not in out + err
    assert sheet.stat().st_mode & 0o077 == 0
    text = " ".join(page.extract_text() for page in PdfReader(sheet).pages)
    assert "Whiskey, Alfa, Lima, November, Uniform, Tango" in text
    assert text.count("then: hyphen") == 5
    assert NAME in text
    assert "Ottilie" not in text


@pytest.mark.parametrize("place", ["outbound", "documents", "signatures", "outbound/inner"])
def test_the_call_sheet_never_lies_with_packets_or_sources(
    client: Path, packet: Released, place: str
) -> None:
    folder = client / place
    folder.mkdir(exist_ok=True)
    assert run(["passphrase", str(client), "--call-sheet", str(folder / "sheet.pdf")]) == 2
    assert not (folder / "sheet.pdf").exists()


def test_the_call_sheet_never_lies_with_a_packet_that_was_put_elsewhere(
    client: Path, packet: Released, tmp_path: Path
) -> None:
    folder = tmp_path / "mails"
    folder.mkdir()
    (folder / "message.eml").touch()
    assert run(["passphrase", str(client), "--call-sheet", str(folder / "sheet.pdf")]) == 2


def test_a_standing_passphrase_is_typed_twice_or_read_from_a_private_file(
    client: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    typed = dataclasses.replace(Surroundings(), ask=lambda _: GOOD)
    assert run(["passphrase", str(client), "--set"], typed) == 0
    assert standing_passphrase(client) == Secret(GOOD)
    file = tmp_path / "agreed"
    file.write_text(f"{GOOD} river\n")
    assert run(["passphrase", str(client), "--set", "--password-file", str(file)]) == 2
    file.chmod(0o600)
    assert run(["passphrase", str(client), "--set", "--password-file", str(file)]) == 0
    assert standing_passphrase(client) == Secret(f"{GOOD} river")
    assert run(["passphrase", str(client), "--drop"]) == 0
    assert standing_passphrase(client) is None
    assert GOOD not in "".join(capsys.readouterr())


def test_a_passphrase_as_an_argument_is_refused_and_not_repeated(
    client: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["passphrase", str(client), "--set", GOOD]) == 2
    assert GOOD not in "".join(capsys.readouterr())


@pytest.mark.parametrize(
    "words", [["--set", "--drop"], ["--keyring"], ["--drop", "--call-sheet", "x"]]
)
def test_one_thing_at_a_time(client: Path, words: list[str]) -> None:
    assert run(["passphrase", str(client), *words]) == 2


def test_letters_digits_and_signs_have_words() -> None:
    assert [spelled(c) for c in "aZ7- é"] == [
        "Alfa",
        "capital Zulu",
        "seven",
        "hyphen",
        "space",
        "latin small letter e with acute",
    ]
    assert in_groups("ab-c  d.") == ("ab", "-", "c", " ", " ", "d", ".")


def test_the_same_words_make_the_same_sheet_over_as_many_pages_as_it_takes() -> None:
    words = Secret("-".join(["lantern"] * 16))
    data = call_sheet(NAME, words)
    assert data == call_sheet(NAME, words)
    with pikepdf.open(io.BytesIO(data)) as pdf:
        assert len(pdf.pages) > 1
    text = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages)
    assert text.count("Lima, Alfa, November, Tango, Echo, Romeo, November") == 16

"""What an office runs into: each is named, with its remedy, and leaves nothing half-made."""

import ctypes
import io
import os
import resource
import shutil

import pikepdf
import pytest
from office_folders import (
    ENGAGEMENT,
    build,
    left_over,
    put_pdf,
    run_packets,
    small_client,
    text_pdf,
)
from PIL import Image

HELD, WRONG, REFUSED = 1, 2, 3
SOURCE_PASSWORD = "larch-meadow-copper"
RETURN = "documents/form-1040/return.pdf"


@pytest.fixture
def scratch(tmp_path):
    folder = tmp_path / "scratch"
    folder.mkdir()
    return folder


def everything_in(client):
    """Every file with its bytes, to see that a run changed nothing."""
    return {path: path.read_bytes() for path in client.rglob("*") if path.is_file()}


def assert_refused(client, scratch, status, *words):
    """The build ends with this status, says these words and a remedy, and changes nothing."""
    before = everything_in(client)
    run = build(client, scratch=scratch)
    assert run.status == status, run.said
    error = run.document["error"]
    for word in words:
        assert word in f"{error['what']} {error['where']}", error
    assert error["next"]
    assert run.err.strip(), "a person reads standard error"
    assert "Traceback" not in run.err
    assert everything_in(client) == before
    assert list(scratch.iterdir()) == []


def locked(pdf):
    target = io.BytesIO()
    with pikepdf.open(io.BytesIO(pdf)) as document:
        document.save(target, encryption=pikepdf.Encryption(SOURCE_PASSWORD, "owner", R=6))
    return target.getvalue()


def without_pages():
    target = io.BytesIO()
    with pikepdf.new() as pdf:
        pdf.save(target)
    return target.getvalue()


def test_a_locked_source_is_named_and_asks_for_its_password(client, scratch):
    path = client / RETURN
    path.write_bytes(locked(path.read_bytes()))
    assert_refused(client, scratch, REFUSED, "password", RETURN)


def test_a_wrong_source_password_does_not_open_it_and_is_not_repeated(client, scratch):
    path = client / RETURN
    path.write_bytes(locked(path.read_bytes()))
    give_password(client, "another-word-entirely")
    run = build(client, scratch=scratch)
    assert run.status == REFUSED
    assert "another-word-entirely" not in run.out + run.err


def test_a_locked_source_is_opened_with_the_passwords_in_the_keys_folder(client, scratch):
    path = client / RETURN
    path.write_bytes(locked(path.read_bytes()))
    give_password(client, f"another-word-entirely\n{SOURCE_PASSWORD}")
    run = build(client, scratch=scratch)
    assert run.status == 0, run.said
    assert [mask["kind"] for mask in run.document["masks"]] == ["ssn"]
    said = run.out + run.err + (client / "ledger.jsonl").read_text()
    assert SOURCE_PASSWORD not in said


def give_password(client, text):
    keys = client / "keys"
    keys.mkdir(mode=0o700)
    (keys / "source-passwords.txt").write_text(text + "\n")
    (keys / "source-passwords.txt").chmod(0o600)


@pytest.mark.parametrize(
    ("content", "word"),
    [
        (text_pdf(["Form 1040"])[:-400].replace(b"obj", b"ojb"), ""),
        (without_pages(), "no page"),
        (b"", "empty"),
        (b"GIF89a not a document at all", "name says a PDF"),
    ],
    ids=["damaged", "no pages", "no bytes", "not a PDF"],
)
def test_a_source_that_is_no_whole_document_is_refused_by_name(client, scratch, content, word):
    (client / RETURN).write_bytes(content)
    assert_refused(client, scratch, REFUSED, RETURN, word)


def test_a_picture_of_20_000_pixels_is_refused_before_it_is_unpacked(client, scratch):
    path = client / "documents" / "receipt" / "scan.png"
    path.parent.mkdir()
    Image.new("1", (20_000, 20)).save(path)
    assert_refused(client, scratch, REFUSED, "documents/receipt/scan.png")


def test_a_folder_without_an_engagement_is_no_client_folder(client, scratch):
    (client / "engagement.toml").unlink()
    assert_refused(client, scratch, WRONG, "engagement.toml")


def test_a_link_out_of_the_folder_is_not_followed(client, scratch, tmp_path):
    elsewhere = put_pdf(tmp_path / "another client.pdf", ["Form 1040", "666-12-7777"])
    (client / "documents" / "form-1040" / "page.pdf").symlink_to(elsewhere)
    assert_refused(client, scratch, REFUSED, "documents/form-1040/page.pdf", "out of the client")


def test_two_bad_sources_are_both_named(client, scratch):
    (client / RETURN).write_bytes(b"")
    (client / "documents" / "letter" / "letter.pdf").write_bytes(b"%PDF-1.7 and nothing else")
    assert_refused(client, scratch, REFUSED, RETURN, "documents/letter/letter.pdf")


ODD = [
    ("Renée’s return (final) 'signed'.pdf", '"Renée O\'Hara & Łukasz Żółć"'),
    ("申告書 \u05d0\u05d1\u05d2 ж.pdf", '"山田 太郎 und <Söhne>"'),
    ('"; rm -rf $HOME.pdf', "'Ola \"Bo\" Ek'"),
]
"""File names and names of households, as a TOML file writes them."""


@pytest.mark.parametrize(("name", "household"), ODD)
def test_names_of_any_script_with_any_mark_go_through_whole(tmp_path, scratch, name, household):
    client = small_client(tmp_path / f"client {name[:4]}'s", household)
    (client / RETURN).rename(client / "documents" / "form-1040" / name)
    run = build(client, scratch=scratch)
    assert run.status == 0, run.said
    files = [source["file"] for source in run.document["sources"]]
    assert f"documents/form-1040/{name}" in files
    assert (client / "outbound" / "2025-0201-client-copy.pdf").is_file()
    assert run_packets("ledger", "verify", client).status == 0


def test_a_household_that_holds_a_number_never_prints_it_whole(tmp_path, scratch):
    client = small_client(tmp_path / "client", '"Ottilie Marsh 666-12-3456"')
    run = build(client, scratch=scratch)
    assert run.status in {0, HELD, WRONG}
    assert "666-12-3456" not in run.out + run.err
    if run.status:
        assert list(client.glob("outbound/*.pdf")) == []


def test_a_full_disk_at_release_takes_back_what_was_begun(client, scratch):
    def small_files_only():
        resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))

    run = build(client, scratch=scratch, preexec_fn=small_files_only)
    assert run.status == REFUSED, run.said
    assert "disk is full" in run.document["error"]["what"]
    assert left_over(client) == []
    assert [path for path in client.glob("outbound/*") if path.suffix != ".lock"] == []
    assert list(client.glob("keys/*")) == []
    assert build(client, scratch=scratch).status == 0
    assert run_packets("ledger", "verify", client).status == 0
    assert list(scratch.iterdir()) == []


@pytest.mark.skipif(os.geteuid() != 0, reason="only root may mount a small disk")
def test_a_small_disk_that_fills_up_is_told_as_such(tmp_path, scratch):
    disk = tmp_path / "disk"
    disk.mkdir()
    made = os.system(f"mount -t tmpfs -o size=160k packets-test '{disk}' 2>/dev/null")
    if made != 0:
        pytest.skip("this machine lets nobody mount a disk")
    try:
        client = small_client(disk / "client")
        room = shutil.disk_usage(disk).free
        (disk / "other papers").write_bytes(bytes(room - 12_288))
        run = build(client, scratch=scratch)
        assert run.status == REFUSED, run.said
        assert "disk is full" in run.document["error"]["what"]
        assert list(client.glob("outbound/*.pdf")) == []
        (disk / "other papers").unlink()
        assert build(client, scratch=scratch).status == 0
        assert left_over(client) == []
        assert run_packets("ledger", "verify", client).status == 0
    finally:
        os.system(f"umount '{disk}'")


def without_roots_rights():
    """In the child: root loses the right to write where the file mode forbids it (Linux)."""
    if os.geteuid() == 0:
        drop_from_bounding_set, override, search = 24, 1, 2
        for right in (override, search):
            ctypes.CDLL(None).prctl(drop_from_bounding_set, right, 0, 0, 0)


def test_an_outbound_folder_that_may_not_be_written_is_named_before_the_work(client, scratch):
    outbound = client / "outbound"
    outbound.mkdir(mode=0o500)
    run = build(client, scratch=scratch, preexec_fn=without_roots_rights)
    assert run.status == WRONG, run.said
    assert "outbound" in run.document["error"]["where"]
    assert "cannot be written" in run.document["error"]["what"]
    assert list(outbound.iterdir()) == []
    assert not (client / "ledger.jsonl").exists()


def test_a_client_folder_that_may_not_be_written_releases_nothing(client, scratch):
    (client / "outbound").mkdir()
    client.chmod(0o500)
    try:
        run = build(client, scratch=scratch, preexec_fn=without_roots_rights)
    finally:
        client.chmod(0o700)
    assert run.status in {WRONG, REFUSED}, run.said
    assert list(client.glob("outbound/*.pdf")) == []
    assert left_over(client) == []


def test_a_page_of_no_known_kind_stops_the_build_and_is_named(client, scratch):
    put_pdf(client / "documents" / "note.pdf", ["Call back on Tuesday about the garden fence."])
    run = build(client, scratch=scratch)
    assert run.status == HELD
    assert any("documents/note.pdf" in reason for reason in run.document["held"])
    assert list(client.glob("outbound/*.pdf")) == []


def test_an_engagement_named_like_a_taxpayer_number_is_refused_and_not_repeated(tmp_path, scratch):
    client = small_client(tmp_path / "client")
    text = ENGAGEMENT.format(household='"O Marsh"').replace("2025-0201", "666-12-3456")
    (client / "engagement.toml").write_text(text)
    run = build(client, scratch=scratch)
    assert run.status == WRONG
    assert "666-12-3456" not in run.out + run.err
    assert list(client.glob("outbound/*")) == []


def test_identifiers_that_others_may_read_do_not_stay_open_through_a_build(client, scratch):
    path = client / "identifiers.toml"
    path.write_text('[[identifier]]\nkind = "ssn"\nvalue = "666-12-3456"\nholder = "taxpayer"\n')
    path.chmod(0o644)
    run = build(client, scratch=scratch)
    assert run.status == WRONG or path.stat().st_mode & 0o777 == 0o600
    assert "666-12-3456" not in run.out + run.err


def test_a_broken_ledger_lets_nothing_out(client, scratch):
    assert build(client, scratch=scratch).status == 0
    ledger = client / "ledger.jsonl"
    ledger.write_text(ledger.read_text().replace('"pages":6', '"pages":7'))
    run = build(client, scratch=scratch)
    assert run.status == REFUSED, run.said
    assert "ledger" in run.document["error"]["what"] + run.document["error"]["where"]
    assert len(list(client.glob("outbound/*.pdf"))) == 1
    assert run_packets("ledger", "verify", client).status == HELD

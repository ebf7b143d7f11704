"""Copies are locked as the file was, with its passphrase; nothing of them touches the disk."""

import io
import os

import pikepdf
import pytest
from proof_samples import WORDS, Watched, locked, pages_pdf, place_named

from packets.base.secret import Secret
from packets.proving.places import PLACES
from packets.proving.prove import prove_pdf
from packets.proving.small_proof import prove_small

PAGES = ("Dear client", "here is your copy", "and a last page")


def revision_of(data: bytes, passphrase: Secret) -> int:
    with pikepdf.open(io.BytesIO(data), password=passphrase.reveal()) as pdf:
        return pdf.encryption.R


@pytest.mark.parametrize("revision", [3, 4, 6])
def test_every_place_of_the_file_itself_is_found_behind_a_lock(revision: int) -> None:
    data = locked(pages_pdf(*PAGES), revision)
    places = [place for place in PLACES if place.family == "the file itself"]
    watched = Watched()
    proof = prove_pdf(data, passphrase=WORDS, places=places, check=watched)
    assert proof.missed == ()
    for copy in watched.copies:
        assert b"/Encrypt" in copy
    assert revision_of(watched.copies[0], WORDS) == revision


@pytest.mark.parametrize(
    "place",
    [
        place_named("text on a page", "in a sentence"),
        place_named("form fields", "value"),
        place_named("files inside the file", "PDF"),
        place_named("pictures", "JPEG 2000"),
        place_named("pictures", "LZW, shown by no page"),
        place_named("bar codes", "Aztec"),
        place_named("writings", "full-width digits"),
    ],
    ids=lambda place: place.name,
)
def test_a_place_of_each_sort_is_found_behind_a_lock(place) -> None:
    watched = Watched()
    data = locked(pages_pdf(*PAGES))
    assert prove_pdf(data, passphrase=WORDS, places=[place], check=watched).holds
    for copy in watched.copies:
        with pytest.raises(pikepdf.PasswordError):
            pikepdf.open(io.BytesIO(copy))
        assert revision_of(copy, WORDS) == 6


def test_a_file_locked_with_the_empty_word_stays_so() -> None:
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(pages_pdf(*PAGES))) as pdf:
        pdf.save(out, encryption=pikepdf.Encryption(user="", owner="o", R=6))
    watched = Watched()
    places = [place_named("text on a page", "in a sentence")]
    assert prove_pdf(out.getvalue(), passphrase=None, places=places, check=watched).holds
    assert b"/Encrypt" in watched.copies[-1]


def test_the_small_proof_checks_one_locked_page_of_the_packet_once() -> None:
    watched = Watched()
    assert prove_small(locked(pages_pdf(*PAGES)), WORDS, check=watched).holds
    (copy,) = watched.copies
    with pikepdf.open(io.BytesIO(copy), password=WORDS.reveal()) as pdf:
        assert len(pdf.pages) == 1
        content = b"".join(part.read_bytes() for part in pdf.pages[0].obj.Contents)
        assert b"here is your copy" in content


@pytest.mark.parametrize(
    "data",
    [
        pages_pdf(*PAGES, turn=90),
        pages_pdf("small", size=(100, 60)),
        pages_pdf(*PAGES, size=(2000, 3000)),
    ],
    ids=["turned", "small", "large"],
)
def test_odd_pages_take_every_sort_of_plant(data: bytes) -> None:
    places = [
        place_named("text on a page", "in a sentence"),
        place_named("hidden text", "off the crop box"),
        place_named("pictures", "cut into strips"),
        place_named("drawn shapes", "filled outlines"),
        place_named("bar codes", "drawn PDF417"),
        place_named("the file itself", "earlier revision"),
    ]
    assert prove_pdf(data, passphrase=None, places=places).missed == ()


def test_planting_leaves_nothing_on_the_disk(tmp_path, monkeypatch) -> None:
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    monkeypatch.chdir(tmp_path)
    places = [place_named("files inside the file", "PDF"), place_named("pictures", "JPEG")]
    assert prove_pdf(locked(pages_pdf(*PAGES)), passphrase=WORDS, places=places).holds
    assert os.listdir(tmp_path) == []  # noqa: PTH208 - names alone

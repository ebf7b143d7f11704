"""Copies are locked as the file was, with its passphrase; nothing of them touches the disk."""

import io
import os

import pikepdf
import pytest
from pikepdf import Array, Dictionary, Name
from proof_samples import WORDS, Watched, locked, pages_pdf, place_named

from packets.base.secret import Secret
from packets.outbound.recognition import Recogniser
from packets.proving.places import PLACES
from packets.proving.prove import prove_pdf
from packets.proving.small_proof import prove_small
from packets.sealing.encrypt import seal

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


@pytest.mark.parametrize("revision", [2, 3, 4, 6])
def test_the_small_proof_keeps_the_lock_of_the_packet(revision: int) -> None:
    watched = Watched()
    data = locked(pages_pdf(*PAGES), revision)
    assert prove_small(data, WORDS, check=watched).holds
    assert key_of(watched.copies[0]) == key_of(data)
    with pytest.raises(pikepdf.PasswordError):
        pikepdf.open(io.BytesIO(watched.copies[0]))


def test_the_small_proof_keeps_a_lock_that_states_no_length_as_those_of_packets_do() -> None:
    watched = Watched()
    sealed = seal(pages_pdf(*PAGES), WORDS)
    assert prove_small(sealed.pdf, sealed.passphrase, check=watched).holds
    assert b"/Length 0" not in watched.copies[0]


def test_the_small_proof_takes_none_of_the_other_pages_along() -> None:
    """Neither by the outline nor by links, nor what the file says of itself."""
    with pikepdf.open(io.BytesIO(pages_pdf(*PAGES))) as pdf:
        with pdf.open_outline() as outline:
            outline.root.append(pikepdf.OutlineItem("first", 0))
        link = Dictionary(Type=Name.Annot, Subtype=Name.Link, Rect=[0, 0, 9, 9])
        link.Dest = Array([pdf.pages[0].obj, Name.Fit])
        pdf.pages[1].obj.Annots = Array([pdf.make_indirect(link)])
        pdf.docinfo["/Title"] = "of three pages"
        out = io.BytesIO()
        pdf.save(out)
    watched = Watched()
    assert prove_small(locked(out.getvalue()), WORDS, check=watched).holds
    with pikepdf.open(io.BytesIO(watched.copies[0]), password=WORDS.reveal()) as copy:
        kinds = [str(each.get("/Type")) for each in copy.objects if isinstance(each, Dictionary)]
        assert kinds.count("/Page") == 1
        assert "/Title" not in copy.docinfo
        assert "/Outlines" not in copy.Root


def key_of(data: bytes) -> bytes:
    with pikepdf.open(io.BytesIO(data), password=WORDS.reveal()) as pdf:
        return bytes(pdf.encryption.encryption_key)


def test_print_and_code_of_the_small_proof_are_read_at_the_first_look(monkeypatch) -> None:
    """Recognition that is unsure looks five times; a code beside print may make it so."""
    looks: list[int] = []
    once = Recogniser._once
    monkeypatch.setattr(
        Recogniser, "_once", lambda self, picture: (looks.append(1), once(self, picture))[1]
    )
    packets = [pages_pdf(*PAGES, f"packet {at}") for at in range(12)]
    assert all(prove_small(packet, None).holds for packet in packets)
    assert len(looks) == len(packets)


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

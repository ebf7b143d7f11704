"""Sealing hides everything it can, and stops when something would stay in the open."""

import dataclasses
import io
import re

import pikepdf
import pytest
from hypothesis import given
from hypothesis import strategies as st
from sealing_samples import PASSPHRASE, agency_packet, plain_pdf, sealed_packet

from packets.base.canonical import sha256_hex
from packets.base.errors import OurFault, UsageError
from packets.base.secret import Secret
from packets.sealing.encrypt import _without_streams, seal

PLANTED = "/K000-12-3456"


def with_planted(plant: str) -> bytes:
    """A PDF with a number in a dictionary key of the place that `plant` names."""
    with pikepdf.open(io.BytesIO(plain_pdf())) as pdf:
        page = pdf.pages[0]
        inner = pikepdf.Dictionary({PLANTED: pikepdf.String("x")})
        places = {
            "page": page.obj,
            "resources": page.obj.Resources,
            "information": pdf.docinfo,
            "catalog": pdf.Root,
            "stream": page.obj.Contents,
        }
        if plant in places:
            places[plant][PLANTED] = pikepdf.String("x")
        elif plant == "inside the catalog":
            pdf.Root["/Names"] = pikepdf.Dictionary(Inner=inner)
        else:
            form = pdf.make_stream(b"q Q")
            form.Resources = pikepdf.Dictionary(Properties=inner)
            page.obj.Resources["/XObject"] = pikepdf.Dictionary(X1=form)
        target = io.BytesIO()
        pdf.save(target, object_stream_mode=pikepdf.ObjectStreamMode.disable)
    assert PLANTED.encode() in target.getvalue()
    return target.getvalue()


@pytest.mark.parametrize(
    "plant", ["page", "resources", "information", "inside the catalog", "resources of a form"]
)
def test_a_number_in_a_key_does_not_survive_in_the_open(plant: str) -> None:
    sealed = seal(with_planted(plant), Secret(PASSPHRASE)).pdf
    assert b"000-12-3456" not in sealed
    assert b"#2d12#2d" not in sealed.lower()


@pytest.mark.parametrize("plant", ["catalog", "stream"])
def test_a_number_in_a_key_that_must_stay_open_stops_the_seal(plant: str) -> None:
    with pytest.raises(OurFault, match="outside the encrypted part") as stopped:
        seal(with_planted(plant), Secret(PASSPHRASE))
    assert "3456" not in str(stopped.value)


def test_no_word_of_the_page_is_in_the_open() -> None:
    sealed = sealed_packet("Total income").pdf
    assert b"Total income" in plain_pdf("Total income")
    assert b"Total income" not in sealed
    assert b"Helvetica" not in sealed


def test_the_record_tells_what_was_done_and_hides_the_rest() -> None:
    sealed = sealed_packet()
    assert (sealed.algorithm, sealed.revision) == ("AES-256", 6)
    assert sealed.sha256 == sha256_hex(sealed.pdf)
    assert sealed.passphrase == Secret(PASSPHRASE)
    assert PASSPHRASE not in repr(sealed)
    assert "%PDF" not in repr(sealed)


def test_two_seals_of_one_packet_share_no_owner_password_and_no_bytes() -> None:
    owners = [re.findall(rb"/O <([0-9a-f]{96})>", sealed_packet().pdf) for _ in range(2)]
    assert [len(found) for found in owners] == [1, 1]
    assert owners[0] != owners[1]


def test_an_agency_packet_is_handed_on_byte_for_byte() -> None:
    sealed = agency_packet()
    assert sealed.pdf == plain_pdf()
    assert (sealed.algorithm, sealed.revision, sealed.passphrase) == ("none", 0, None)


def test_sealing_uses_the_prepared_form_and_says_so() -> None:
    composed, decomposed = "caf\u00e9 cr\u00e8me et sucre", "cafe\u0301 cre\u0300me et sucre"
    sealed = seal(plain_pdf(), Secret(decomposed))
    assert sealed.passphrase == Secret(composed)
    with pikepdf.open(io.BytesIO(sealed.pdf), password=composed) as pdf:
        assert len(pdf.pages) == 1


def test_a_weak_passphrase_seals_nothing() -> None:
    with pytest.raises(UsageError):
        seal(plain_pdf(), Secret("too short"))


@pytest.mark.parametrize("broken", [b"", b"not a PDF", plain_pdf()[:200]])
def test_a_packet_that_does_not_open_is_our_fault(broken: bytes) -> None:
    with pytest.raises(OurFault):
        seal(broken, Secret(PASSPHRASE))


def test_a_packet_is_not_sealed_twice() -> None:
    with pytest.raises(OurFault):
        seal(sealed_packet().pdf, Secret(PASSPHRASE))


def test_every_stream_of_the_page_is_the_same_after_unlocking() -> None:
    with (
        pikepdf.open(io.BytesIO(plain_pdf())) as before,
        pikepdf.open(io.BytesIO(sealed_packet().pdf), password=PASSPHRASE) as after,
    ):
        assert after.pages[0].obj.Contents.read_bytes() == before.pages[0].obj.Contents.read_bytes()
        assert after.pages[0].obj.MediaBox == before.pages[0].obj.MediaBox


def test_a_sealed_packet_cannot_be_changed_in_memory() -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        sealed_packet().sha256 = ""  # type: ignore[misc]


STREAM_DATA = re.compile(rb"\bstream\r?\n.*?endstream\b", re.DOTALL)


@given(
    words=st.lists(
        st.sampled_from(
            [b"stream", b"endstream", b"\n", b"\r\n", b"\r", b" ", b"/N#4f", b"x", b"_", b"end"]
        ),
        max_size=16,
    )
)
def test_what_stands_beside_streams_is_told_as_by_one_expression(words: list[bytes]) -> None:
    data = b"".join(words)
    assert _without_streams(data) == STREAM_DATA.sub(b"", data)

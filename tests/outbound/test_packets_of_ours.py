"""A packet as this program makes it is clean; the same with anything unlisted is held."""

import io
from collections.abc import Callable

import pikepdf
import pytest
from outbound_pages import opened, page_pdf
from pikepdf import Array, Dictionary, Name, String

from packets.assembly.assemble import assemble
from packets.assembly.records import Binding, BoundPages, BoundPart
from packets.base.secret import Secret
from packets.identifiers.kinds import Kind, KnownNumber, MaskPolicy
from packets.outbound.check import check_pdf
from packets.outbound.records import Judgement, Verdict
from packets.sealing.encrypt import seal

KNOWN = (KnownNumber(Kind.SSN, Secret("000123456")),)
WORDS = Secret("plain-orchard-window-seven-lantern-moss")


def packet() -> bytes:
    parts = (
        BoundPart("Federal return", (BoundPages("Form 1040", plain_pages(), (1, 2)),)),
        BoundPart("Papers", (BoundPages("Form W-2", plain_pages(), (1,)),)),
    )
    return assemble(
        Binding("Your 2025 return", "A. and B. Example", 2025, "2025-0147", "client", parts)
    ).pdf


def plain_pages() -> bytes:
    pdf = pikepdf.new()
    for number in (1, 2):
        with pikepdf.open(io.BytesIO(page_pdf(f"Page {number} of XXX-XX-3456"))) as one:
            pdf.pages.append(one.pages[0])
            for key in ("/Trans", "/Rotate"):
                if key in pdf.pages[-1].obj:
                    del pdf.pages[-1].obj[key]
    out = io.BytesIO()
    pdf.save(out, deterministic_id=True)
    return out.getvalue()


def judged(data: bytes, passphrase: Secret | None = None) -> Verdict:
    return check_pdf(
        data,
        name="2025-0147-client-copy.pdf",
        passphrase=passphrase,
        known=KNOWN,
        policy=MaskPolicy(),
        ours=True,
    )


def test_an_assembled_packet_is_clean() -> None:
    verdict = judged(packet())
    assert verdict.unread == ()
    assert verdict.judgement is Judgement.CLEAN


def test_a_sealed_packet_is_clean() -> None:
    verdict = judged(seal(packet(), WORDS).pdf, WORDS)
    assert verdict.unread == ()
    assert verdict.judgement is Judgement.CLEAN
    assert verdict.file == "2025-0147-client-copy.pdf"
    assert len(verdict.sha256) == 64
    assert [report.name for report in verdict.readers] == [
        "page text",
        "objects and streams",
        "bytes of the file",
        "pixels",
    ]


def _action(pdf: pikepdf.Pdf) -> None:
    pdf.Root.OpenAction = Dictionary(S=Name.JavaScript, JS=String("1"))


def _attachment(pdf: pikepdf.Pdf) -> None:
    pdf.attachments["a.txt"] = b"hello"


def _field(pdf: pikepdf.Pdf) -> None:
    pdf.Root.AcroForm = Dictionary(Fields=Array([]))


def _metadata(pdf: pikepdf.Pdf) -> None:
    with pdf.open_metadata() as metadata:
        metadata["dc:title"] = "Your return"


def _information(pdf: pikepdf.Pdf) -> None:
    pdf.docinfo["/Author"] = "A. Preparer"


def _link_out(pdf: pikepdf.Pdf) -> None:
    action = Dictionary(S=Name.URI, URI=String("https://example.test"))
    link = Dictionary(Type=Name.Annot, Subtype=Name.Link, Rect=[0, 0, 9, 9], A=action)
    pdf.pages[0].Annots = Array([pdf.make_indirect(link)])


def _stamp(pdf: pikepdf.Pdf) -> None:
    stamp = Dictionary(Type=Name.Annot, Subtype=Name.Stamp, Rect=[0, 0, 9, 9])
    pdf.pages[0].Annots = Array([pdf.make_indirect(stamp)])


def _thumbnail(pdf: pikepdf.Pdf) -> None:
    pdf.pages[0].obj["/Thumb"] = pdf.make_stream(b"")


def _key_of_the_root(pdf: pikepdf.Pdf) -> None:
    pdf.Root["/Mine"] = 1


def _key_of_a_page(pdf: pikepdf.Pdf) -> None:
    pdf.pages[0].obj["/Mine"] = 1


def _start_of_a_program(pdf: pikepdf.Pdf) -> None:
    pdf.Root["/Outlines"] = Dictionary(A=Dictionary(S=Name.Launch, F=String("a.exe")))


@pytest.mark.parametrize(
    "add",
    [
        _action,
        _attachment,
        _field,
        _metadata,
        _information,
        _link_out,
        _stamp,
        _thumbnail,
        _key_of_the_root,
        _key_of_a_page,
        _start_of_a_program,
    ],
)
def test_anything_unlisted_holds_a_packet_of_ours(add: Callable[[pikepdf.Pdf], None]) -> None:
    pdf = pikepdf.open(io.BytesIO(packet()))
    add(pdf)
    out = io.BytesIO()
    pdf.save(out, deterministic_id=True)
    verdict = judged(out.getvalue())
    assert verdict.sightings == ()
    assert verdict.unread != ()
    assert verdict.judgement is Judgement.HELD


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (b"", b"left over"),
        (b"", b"% a comment\n"),
        (b"", b"\n900 0 obj\n(note)\nendobj\n"),
        (b"", b"startxref\n0\n%%EOF\n"),
        (b"#!/bin/sh\n", b""),
    ],
)
def test_bytes_that_belong_to_nothing_hold_a_packet_of_ours(before: bytes, after: bytes) -> None:
    verdict = judged(before + packet() + after)
    assert verdict.judgement is Judgement.HELD
    assert verdict.unread != ()


def test_the_same_is_no_fault_of_a_foreign_file() -> None:
    pdf = opened()
    _key_of_the_root(pdf)
    out = io.BytesIO()
    pdf.save(out, deterministic_id=True)
    verdict = check_pdf(
        out.getvalue(), name="a.pdf", passphrase=None, known=KNOWN, policy=MaskPolicy()
    )
    assert verdict.judgement is Judgement.CLEAN

"""A small packet, its facts, and its sealed forms; every name and number is invented."""

import dataclasses
import datetime as dt
import io

import pikepdf

from packets.base.canonical import sha256_hex
from packets.base.secret import Secret
from packets.sealing.encrypt import seal
from packets.sealing.records import (
    MaskLine,
    PacketFacts,
    ProofLine,
    ReaderLine,
    RetentionLine,
    SealedPacket,
    SignatureLine,
    SourceLine,
)

PASSPHRASE = "walnut-harbor-ribbon-candle-tundra-mosaic"
BUILT_AT = dt.datetime(2026, 3, 3, 14, 5, 9, tzinfo=dt.UTC)


def plain_pdf(words: str = "Total income 48,210") -> bytes:
    """One page that says `words`; the same bytes for the same words."""
    with pikepdf.new() as pdf:
        page = pdf.add_blank_page(page_size=(612, 792))
        page.obj.Resources = pikepdf.Dictionary(
            Font=pikepdf.Dictionary(
                F1=pikepdf.Dictionary(
                    Type=pikepdf.Name.Font,
                    Subtype=pikepdf.Name.Type1,
                    BaseFont=pikepdf.Name.Helvetica,
                )
            )
        )
        page.obj.Contents = pdf.make_stream(f"BT /F1 12 Tf 72 700 Td ({words}) Tj ET".encode())
        target = io.BytesIO()
        pdf.save(target, deterministic_id=True, compress_streams=False)
    return target.getvalue()


def sealed_packet(words: str = "Total income 48,210") -> SealedPacket:
    """The page, encrypted."""
    return seal(plain_pdf(words), Secret(PASSPHRASE))


def agency_packet() -> SealedPacket:
    """The page, not encrypted."""
    return seal(plain_pdf(), None)


def packet_facts(**changes: object) -> PacketFacts:
    """Facts of a client copy that passed its check."""
    facts = PacketFacts(
        packet="2025-0147-client-copy.pdf",
        title="Your 2025 income tax return",
        pages=1,
        content_sha256=sha256_hex(plain_pdf()),
        recipe_name="client-copy",
        recipe_sha256=sha256_hex(b"recipe"),
        engagement_id="2025-0147",
        tax_year=2025,
        built_at=BUILT_AT,
        sources=(
            SourceLine(
                file="documents/W-2 Müller 000-12-3456.pdf",
                sha256=sha256_hex(b"source"),
                pages=3,
                used=1,
                left_out=(((2, 3), "not named by the recipe"),),
            ),
        ),
        parts=(("Federal return", 1, 1),),
        masks=(MaskLine("ssn", "XXX-XX-3456", 1, (72.0, 80.5, 140.25, 92.0)),),
        signatures=(
            SignatureLine("taxpayer", 1, (1.0, 2.0, 3.0, 4.0), "grant-1", sha256_hex(b"ink")),
        ),
        verdict="clean",
        readers=(ReaderLine("page text", "1.0", 1, 0),),
        proof=(ProofLine("text on the page", True), ProofLine("picture", True)),
        retention=(RetentionLine("copy", dt.date(2029, 6, 30), "IRC 6107(b)"),),
        tools=(("zlib", "1.3"), ("pikepdf", "10.1")),
    )
    return dataclasses.replace(facts, **changes)

"""A client folder with a released packet, and an office to send from; all invented."""

import dataclasses
import datetime as dt
import io
import os
from pathlib import Path

import pikepdf

from packets import __version__
from packets.base.canonical import sha256_hex
from packets.base.secret import Secret
from packets.sealing.encrypt import seal
from packets.sealing.ledger import append
from packets.sealing.records import PacketFacts, ProofLine, ReaderLine, Released
from packets.sealing.release import release

PASSPHRASE = "walnut-harbor-ribbon-candle-tundra-mosaic"
NUMBER = "666-12-3456"
ADDRESS = "ottilie@example.org"
SENDER = "office@firm.example"
ENGAGEMENT = f"""\
[engagement]
id = "2025-0201"
tax_year = 2025
household = "Ottilie & Ines Märsh"
email = "{ADDRESS}"

[[person]]
role = "taxpayer"
name = "Ottilie Märsh"
"""
OFFICE = f"""\
[office]
name = "Büro Sample, Tax & Books"
sender = "{SENDER}"
"""


def page_pdf(words: str = "Total income 48,210", filling: bytes = b"") -> bytes:
    """One page that says `words`, and as many bytes more as `filling` has."""
    with pikepdf.new() as pdf:
        page = pdf.add_blank_page(page_size=(612, 792))
        font = pikepdf.Dictionary(
            Type=pikepdf.Name.Font, Subtype=pikepdf.Name.Type1, BaseFont=pikepdf.Name.Helvetica
        )
        page.obj.Resources = pikepdf.Dictionary(Font=pikepdf.Dictionary(F1=font))
        text = f"BT /F1 12 Tf 72 700 Td ({words}) Tj ET".encode()
        page.obj.Contents = pdf.make_stream(text + b"\n%" + filling.hex().encode())
        target = io.BytesIO()
        pdf.save(target, deterministic_id=True, compress_streams=False)
    return target.getvalue()


def facts(pdf: bytes, **changes: object) -> PacketFacts:
    """Facts of a client copy that passed its check."""
    made = PacketFacts(
        packet="2025-0201-client-copy.pdf",
        title="Your 2025 income tax return",
        pages=1,
        content_sha256=sha256_hex(pdf),
        recipe_name="client-copy",
        recipe_sha256=sha256_hex(b"recipe"),
        engagement_id="2025-0201",
        tax_year=2025,
        built_at=dt.datetime.now(dt.UTC),
        sources=(),
        parts=(("Federal return", 1, 1),),
        masks=(),
        signatures=(),
        verdict="clean",
        readers=(ReaderLine("page text", "1.0", 1, 0),),
        proof=(ProofLine("text on the page", True),),
        retention=(),
        tools=(("packets", __version__),),
    )
    return dataclasses.replace(made, **changes)


def client_folder(root: Path, numbers: str = NUMBER) -> Path:
    """`root/office.toml` and `root/client` with its engagement and known number."""
    client = root / "client"
    client.mkdir(parents=True)
    (root / "office.toml").write_text(OFFICE, encoding="utf-8")
    (client / "engagement.toml").write_text(ENGAGEMENT, encoding="utf-8")
    identifiers = client / "identifiers.toml"
    identifiers.write_text(f'[[identifier]]\nkind = "ssn"\nvalue = "{numbers}"\n')
    identifiers.chmod(0o600)
    return client


def released(client: Path, pdf: bytes | None = None, **changes: object) -> Released:
    """A packet that was released for the client, with its key kept."""
    pdf = pdf or page_pdf()
    sealed = seal(pdf, Secret(PASSPHRASE))
    return release(client, client / "outbound", facts(pdf, **changes), sealed, keep_passphrase=True)


def touched(path: Path, seconds: int = 3600) -> None:
    """As if the file had been written so much later."""
    later = path.stat().st_mtime + seconds
    os.utime(path, (later, later))


def add_line(client: Path, event: str, packet: Released, to: str = ADDRESS) -> None:
    """A ledger line of a sending."""
    append(client, event, {"packet": packet.packet.name, "sha256": packet.sha256, "to": [to]})

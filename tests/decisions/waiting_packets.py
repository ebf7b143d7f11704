"""Sealed packets that wait for a person, without a build; every name and number is invented."""

import dataclasses
import datetime as dt
import io
from collections.abc import Callable
from pathlib import Path

import pikepdf

from packets import __version__
from packets.base.canonical import sha256_hex
from packets.base.files import PARTIAL_PREFIX
from packets.base.secret import Secret
from packets.sealing.encrypt import seal
from packets.sealing.ledger_chain import entries, verify
from packets.sealing.records import PacketFacts, ProofLine, ReaderLine, Released, SealedPacket
from packets.sealing.release import nothing, release

PASSPHRASE = "walnut-harbor-ribbon-candle-tundra-mosaic"
WHO = "P. Preparer"
ENGAGEMENT = """\
[engagement]
id = "2025-0201"
tax_year = 2025
household = "Ottilie Marsh"

[[person]]
role = "taxpayer"
name = "Ottilie Marsh"
"""


def sealed(words: str = "Total income 48,210") -> SealedPacket:
    """One page that says `words`, encrypted."""
    with pikepdf.new() as pdf:
        page = pdf.add_blank_page()
        page.obj.Contents = pdf.make_stream(f"% {words}".encode())
        target = io.BytesIO()
        pdf.save(target, deterministic_id=True)
    return seal(target.getvalue(), Secret(PASSPHRASE))


FACTS = PacketFacts(
    packet="",
    title="Your 2025 income tax return",
    pages=1,
    content_sha256=sha256_hex(b""),
    recipe_name="client-copy",
    recipe_sha256=sha256_hex(b""),
    engagement_id="2025-0201",
    tax_year=2025,
    built_at=dt.datetime(2026, 3, 3, 14, 5, 9, tzinfo=dt.UTC),
    sources=(),
    parts=(("Federal return", 1, 1),),
    masks=(),
    signatures=(),
    verdict="clean",
    readers=(ReaderLine("page text", "1.0", 1, 0),),
    proof=(ProofLine("text on the page", True),),
    retention=(),
    tools=(("packets", __version__),),
    recipe_given="client-copy",
    review=True,
)


def client_folder(root: Path) -> Path:
    """A client folder without documents."""
    client = root / "client"
    (client / "documents").mkdir(parents=True)
    (client / "engagement.toml").write_text(ENGAGEMENT)
    return client


def wait(
    client: Path,
    packet: SealedPacket | None = None,
    at: Callable[[str], None] = nothing,
    **changes: object,
) -> Released:
    """Put a packet into to-review/."""
    facts = dataclasses.replace(FACTS, **changes)
    return release(
        client, client / "to-review", facts, packet or sealed(), keep_passphrase=True, at=at
    )


def events(client: Path, packet: str) -> list[str]:
    """What the ledger says of a packet, in order."""
    return [entry.event for entry in entries(client) if entry.facts.get("packet") == packet]


def left_partial(client: Path) -> list[str]:
    return [path.name for path in client.rglob(f"{PARTIAL_PREFIX}*")]


def ledger_is_sound(client: Path) -> bool:
    return verify(client).sound

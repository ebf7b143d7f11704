"""What a message holds, and every reason for which a packet is not mailed."""

import dataclasses
import email
import hashlib
import re
from email import policy
from email.message import EmailMessage
from pathlib import Path

import pytest
from mail_samples import (
    ADDRESS,
    ENGAGEMENT,
    NUMBER,
    OFFICE,
    PASSPHRASE,
    SENDER,
    client_folder,
    facts,
    page_pdf,
    released,
    touched,
)

from packets.base.errors import (
    Damaged,
    Held,
    InputRefused,
    Locked,
    OverLimit,
    UsageError,
)
from packets.base.secret import Secret
from packets.mailing.records import MailOrder, PreparedMail
from packets.mailing.send import prepare_mail, save_mail
from packets.sealing.encrypt import seal
from packets.sealing.ledger import append, entries
from packets.sealing.manifest import manifest_bytes
from packets.sealing.records import Released

RECIPE = """\
recipe = 1
name = "client-copy"
title = "Papers"
audience = "client"
[[part]]
heading = "Return"
take = ["form-1040"]
[mail]
"""


@pytest.fixture
def client(tmp_path: Path) -> Path:
    return client_folder(tmp_path)


@pytest.fixture
def packet(client: Path) -> Released:
    return released(client)


def own_recipe(client: Path, mail: str) -> str:
    path = client.parent / "our-copy.toml"
    path.write_text(RECIPE + mail)
    return str(path)


def saved(client: Path, packet: Released, **more: str) -> tuple[PreparedMail, EmailMessage, bytes]:
    prepared = prepare_mail(MailOrder(packet.packet, to=ADDRESS, **more))
    path = client.parent / "mails" / "message.eml"
    path.parent.mkdir()
    save_mail(prepared, path)
    data = path.read_bytes()
    return prepared, email.message_from_bytes(data, policy=policy.default), data


def test_the_saved_message_holds_the_packet_and_two_texts(client: Path, packet: Released) -> None:
    _, message, data = saved(client, packet)
    assert message.get_content_type() == "multipart/mixed"
    assert message["To"] == ADDRESS
    assert message["From"].addresses[0].addr_spec == SENDER
    assert message["From"].addresses[0].display_name == "Büro Sample, Tax & Books"
    assert message["Subject"] == "Your 2025 tax documents"
    assert re.fullmatch(r"<[a-z]{32}@firm\.example>", message["Message-ID"])
    assert message["Date"].datetime.utcoffset() is not None
    plain, html = message.get_body(("plain",)), message.get_body(("html",))
    assert "Dear Ottilie & Ines Märsh," in plain.get_content()
    assert "<p>Dear Ottilie &amp; Ines Märsh,</p>" in html.get_content()
    (attached,) = message.iter_attachments()
    assert attached.get_filename() == "client-copy.pdf"
    assert hashlib.sha256(attached.get_content()).hexdigest() == packet.sha256
    assert data.isascii()
    assert data.count(b"MIME-Version") == 1
    assert all(len(line) <= 78 for line in data.split(b"\r\n"))
    assert b"\n" not in data.replace(b"\r\n", b"")
    assert not re.search(rb"\d{9}", data.split(b"base64")[0])


def test_neither_passphrase_nor_number_stands_in_message_or_ledger(
    client: Path, packet: Released
) -> None:
    prepared, _, data = saved(client, packet)
    ledger = (client / "ledger.jsonl").read_text()
    for secret in (PASSPHRASE, NUMBER, NUMBER.replace("-", "")):
        assert secret not in data.decode()
        assert secret not in ledger
        assert secret not in repr(prepared)


def test_a_saved_message_is_a_ledger_line_and_private(client: Path, packet: Released) -> None:
    prepared, _, data = saved(client, packet)
    (line,) = [entry for entry in entries(client) if entry.event == "mail saved"]
    assert line.facts["to"] == [ADDRESS]
    assert line.facts["message_id"] == prepared.message.message_id
    assert line.facts["message_sha256"] == hashlib.sha256(data).hexdigest()
    assert (client.parent / "mails" / "message.eml").stat().st_mode & 0o077 == 0


def test_the_body_of_the_recipe_is_filled_in_once(client: Path, packet: Released) -> None:
    (client / "engagement.toml").write_text(ENGAGEMENT.replace("Ottilie &", "{office} <b>"))
    mail = 'subject = "Papers {tax_year}"\nbody = "To {household}\\n.\\n\\nfrom {office}"\n'
    _, message, _ = saved(client, packet, recipe=own_recipe(client, mail))
    text = message.get_body(("plain",)).get_content()
    assert text.splitlines()[:4] == [
        "To {office} <b> Ines Märsh",
        ".",
        "",
        "from Büro Sample, Tax & Books",
    ]
    assert "<b>" not in message.get_body(("html",)).get_content()
    assert message["Subject"] == "Papers 2025"


def refused(kind: type[Exception], packet: Released, **more: object) -> str:
    with pytest.raises(kind) as caught:
        prepare_mail(dataclasses.replace(MailOrder(packet.packet, to=ADDRESS), **more))
    said = f"{caught.value} {getattr(caught.value, 'remedy', '')}"
    assert PASSPHRASE not in said
    assert NUMBER not in said
    return said


def test_a_changed_packet_does_not_go(packet: Released) -> None:
    data = bytearray(packet.packet.read_bytes())
    data[len(data) // 2] ^= 1
    packet.packet.write_bytes(data)
    refused(Held, packet)


def test_a_changed_manifest_does_not_go(packet: Released) -> None:
    packet.manifest.write_bytes(packet.manifest.read_bytes().replace(b"Federal", b"federal"))
    refused(Damaged, packet)


def test_a_manifest_that_was_made_anew_with_its_checksum_does_not_go(packet: Released) -> None:
    other = facts(page_pdf(), packet=packet.packet.name, title="Another", parts=())
    sealed = dataclasses.replace(seal(page_pdf(), Secret(PASSPHRASE)))
    sealed = dataclasses.replace(sealed, pdf=packet.packet.read_bytes(), sha256=packet.sha256)
    packet.manifest.write_bytes(manifest_bytes(other, sealed))
    assert "ledger" in refused(Held, packet)


def test_a_packet_that_the_ledger_does_not_know_does_not_go(client: Path, packet: Released) -> None:
    (client / "ledger.jsonl").unlink()
    (client / "ledger.head").unlink()
    assert "does not say that this packet was released" in refused(Held, packet)


def test_a_checksum_list_that_says_otherwise_stops_it(packet: Released) -> None:
    listed = packet.packet.with_name("SHA256SUMS")
    listed.write_text(listed.read_text().replace(packet.sha256, "0" * 64))
    assert "checksum list" in refused(Held, packet)


def test_a_packet_that_was_withdrawn_does_not_go(client: Path, packet: Released) -> None:
    append(client, "withdrawn", {"packet": packet.packet.name, "sha256": packet.sha256})
    refused(Held, packet)


def test_a_broken_ledger_sends_nothing(client: Path, packet: Released) -> None:
    ledger = client / "ledger.jsonl"
    ledger.write_bytes(ledger.read_bytes().replace(b"clean", b"Clean"))
    refused(InputRefused, packet)


def test_a_packet_that_is_not_newer_than_its_verdict_is_not_checked_again(
    packet: Released,
) -> None:
    assert not prepare_mail(MailOrder(packet.packet, to=ADDRESS)).checked_again


def test_a_file_newer_than_its_verdict_is_checked_again(packet: Released) -> None:
    touched(packet.packet)
    assert prepare_mail(MailOrder(packet.packet, to=ADDRESS)).checked_again


def test_a_packet_that_older_rules_let_out_is_checked_again(client: Path) -> None:
    packet = released(client, tools=(("packets", "0.0.1"),))
    assert prepare_mail(MailOrder(packet.packet, to=ADDRESS)).checked_again


def test_a_file_newer_than_its_verdict_in_which_a_number_is_seen_does_not_go(client: Path) -> None:
    packet = released(client, page_pdf(f"Your number is {NUMBER}"))
    touched(packet.packet)
    assert "ssn on page 1" in refused(Held, packet)


def test_a_file_newer_than_its_verdict_that_nobody_can_open_does_not_go(packet: Released) -> None:
    touched(packet.packet)
    assert packet.key_file is not None
    packet.key_file.unlink()
    refused(Locked, packet)
    again = MailOrder(packet.packet, to=ADDRESS, passphrase=Secret(PASSPHRASE))
    assert prepare_mail(again).checked_again


@pytest.mark.parametrize(
    ("mail", "place"),
    [
        ('subject = "Papers 666 - 12 - 3456"', "header Subject"),
        ('body = "Yours: 666 - 12 - 3456"', "plain body"),
    ],
)
def test_a_message_that_shows_a_number_does_not_go(
    client: Path, packet: Released, mail: str, place: str
) -> None:
    assert place in refused(Held, packet, recipe=own_recipe(client, f"{mail}\n"))


def test_an_office_whose_name_holds_a_number_sends_nothing(client: Path, packet: Released) -> None:
    (client.parent / "office.toml").write_text(OFFICE.replace("Books", NUMBER))
    assert "header From" in refused(Held, packet)


def test_a_household_that_holds_a_number_sends_nothing(client: Path, packet: Released) -> None:
    (client / "engagement.toml").write_text(ENGAGEMENT.replace("Ines", NUMBER.replace("-", "")))
    assert "plain body" in refused(Held, packet)


def test_a_body_that_holds_the_passphrase_does_not_go(client: Path, packet: Released) -> None:
    words = PASSPHRASE.replace("-", " ").title()
    recipe = own_recipe(client, f'body = "It opens with {words}."\n')
    assert "holds the passphrase" in refused(Held, packet, recipe=recipe)


@pytest.mark.parametrize(
    "address",
    [
        "ottilie",
        "a@b",
        "a@example.org, b@example.org",
        "Ottilie <a@example.org>",
        "a@example.org\nBcc: b@example.org",
        "ottílie@example.org",
        "x" * 65 + "@example.org",
        "a..b@example.org",
        "a@-example.org",
    ],
)
def test_what_is_no_single_address_is_refused(packet: Released, address: str) -> None:
    assert address not in refused(UsageError, packet, to=address)


def test_without_any_address_nothing_goes(client: Path, packet: Released) -> None:
    (client / "engagement.toml").write_text(ENGAGEMENT.replace(ADDRESS, ""))
    assert "engagement.email" in refused(UsageError, packet, to="")


def test_without_a_sender_nothing_goes(client: Path, packet: Released) -> None:
    (client.parent / "office.toml").write_text('[office]\nname = "Sample"\n')
    assert "sender" in refused(UsageError, packet)


def test_a_message_over_the_limit_is_refused_with_its_largest_pages(client: Path) -> None:
    filling = hashlib.shake_256(b"filling").digest(900_000)
    packet = released(client, page_pdf(filling=filling))
    said = refused(OverLimit, packet, recipe=own_recipe(client, "max_message_mb = 1\n"))
    assert "the largest are page 1 (1." in said
    assert "--for-mail" in said

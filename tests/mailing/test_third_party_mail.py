"""A packet for a third party: never to the client's address by default, and in other words."""

import email
from email import policy
from pathlib import Path

import pytest
from mail_samples import ADDRESS, client_folder, released

from packets.base.errors import UsageError
from packets.mailing.records import Asks, MailOrder
from packets.mailing.send import prepare_mail
from packets.sealing.records import Released


@pytest.fixture
def packet(tmp_path: Path) -> Released:
    return released(client_folder(tmp_path), recipe_name="lender-copy")


def test_its_address_is_always_given(packet: Released) -> None:
    with pytest.raises(UsageError, match="to whom"):
        prepare_mail(MailOrder(packet.packet))


@pytest.mark.parametrize("address", ["desk@lender.example", ADDRESS])
def test_any_address_is_asked_about(packet: Released, address: str) -> None:
    (asked,) = prepare_mail(MailOrder(packet.packet, to=address)).questions
    assert asked.asks is Asks.ADDRESS
    assert "nothing on file" in asked.words


def test_the_words_are_those_of_its_own_recipe(packet: Released) -> None:
    message = prepare_mail(MailOrder(packet.packet, to="desk@lender.example")).message
    parsed = email.message_from_bytes(message.data, policy=policy.default)
    assert "has consented" in parsed.get_body(("plain",)).get_content()
    assert message.attachment == "lender-copy.pdf"


def test_the_recipe_of_another_packet_is_refused(packet: Released) -> None:
    with pytest.raises(UsageError, match="has not made this packet"):
        prepare_mail(MailOrder(packet.packet, to=ADDRESS, recipe="client-copy"))

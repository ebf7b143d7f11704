"""Delivery to a real SMTP server over TLS: taken whole, or told why not, and recorded once."""

import dataclasses
import email
import hashlib
from email import policy
from pathlib import Path

import pytest
from mail_samples import ADDRESS, PASSPHRASE, client_folder, page_pdf, released
from mail_servers import PASSWORD, Certificates, Inbox, certificates, serving

from packets.base.errors import DeliveryFailed, ExitStatus, Held, InputRefused
from packets.base.secret import Secret
from packets.mailing.records import MailOrder, MailServer, PreparedMail, Security
from packets.mailing.send import prepare_mail, send_mail
from packets.sealing.ledger import entries, verify

# The test's server cannot know that all of its port is TLS.
pytestmark = pytest.mark.filterwarnings("ignore:Requiring AUTH while not requiring TLS")

GREYLISTED = "451 4.7.1 Greylisted, please come again later"


@pytest.fixture(scope="module")
def trusted(tmp_path_factory: pytest.TempPathFactory) -> Certificates:
    return certificates(tmp_path_factory.mktemp("certificates"))


@pytest.fixture
def prepared(tmp_path: Path) -> PreparedMail:
    packet = released(client_folder(tmp_path)).packet
    return prepare_mail(MailOrder(packet, to=ADDRESS))


def events(prepared: PreparedMail) -> list[str]:
    assert verify(prepared.client).sound
    return [entry.event for entry in entries(prepared.client) if "mail" in entry.event]


def failed(prepared: PreparedMail, server: MailServer) -> DeliveryFailed:
    with pytest.raises(DeliveryFailed) as caught:
        send_mail(prepared, server)
    assert caught.value.exit_code is ExitStatus.DELIVERY
    said = f"{caught.value} {caught.value.remedy} {(prepared.client / 'ledger.jsonl').read_text()}"
    assert PASSPHRASE not in said
    assert PASSWORD not in said
    return caught.value


@pytest.mark.parametrize("security", list(Security))
@pytest.mark.parametrize("login", [False, True])
def test_the_server_gets_the_very_packet_and_the_ledger_its_answer(
    prepared: PreparedMail, trusted: Certificates, security: Security, login: bool
) -> None:
    inbox = Inbox()
    with serving(inbox, trusted, security, login=login) as server:
        sent = send_mail(prepared, server)
    (data,) = inbox.taken
    message = email.message_from_bytes(data, policy=policy.default)
    (packet,) = message.iter_attachments()
    assert hashlib.sha256(packet.get_content()).hexdigest() == prepared.released.sha256
    assert sent.answer == "250 2.0.0 taken, queued as 4F2A"
    assert events(prepared) == ["mailing", "mailed"]
    line = entries(prepared.client)[-1].facts
    assert line["to"] == [ADDRESS]
    assert line["sha256"] == prepared.released.sha256
    assert line["message_id"] == message["Message-ID"] == prepared.message.message_id
    assert line["answer"] == sent.answer
    assert PASSPHRASE.encode() not in data


def test_a_server_that_puts_strangers_off_is_told_as_such(
    prepared: PreparedMail, trusted: Certificates
) -> None:
    inbox = Inbox(rcpt_answers={ADDRESS: GREYLISTED})
    with serving(inbox, trusted) as server:
        error = failed(prepared, server)
    assert GREYLISTED in error.what
    assert "quarter of an hour" in error.remedy
    assert events(prepared) == []


def test_where_one_of_two_is_refused_nobody_gets_it(tmp_path: Path, trusted: Certificates) -> None:
    packet = released(client_folder(tmp_path)).packet
    prepared = prepare_mail(MailOrder(packet, to=ADDRESS, also=("ines@example.org",)))
    inbox = Inbox(rcpt_answers={"ines@example.org": "550 5.1.1 no such user"})
    with serving(inbox, trusted) as server:
        error = failed(prepared, server)
    assert "550 5.1.1 no such user" in error.what
    assert inbox.data_asked == 0
    assert events(prepared) == []


@pytest.mark.parametrize("answer", ["554 5.7.1 content refused", "451 4.3.0 not now"])
def test_a_refusal_after_the_message_is_recorded_as_not_mailed(
    prepared: PreparedMail, trusted: Certificates, answer: str
) -> None:
    with serving(Inbox(data_answer=answer), trusted) as server:
        assert answer in failed(prepared, server).what
    assert events(prepared) == ["mailing", "not mailed"]
    assert entries(prepared.client)[-1].facts["answer"] == answer
    again = prepare_mail(MailOrder(prepared.released.packet, to=ADDRESS))
    assert again.questions == ()


def test_a_line_that_breaks_in_mid_message_delivers_nothing(
    tmp_path: Path, trusted: Certificates
) -> None:
    big = page_pdf(filling=hashlib.shake_256(b"filling").digest(4_000_000))
    packet = released(client_folder(tmp_path), big).packet
    prepared = prepare_mail(MailOrder(packet, to=ADDRESS))
    inbox = Inbox()
    with serving(inbox, trusted, drops=True) as server:
        error = failed(prepared, server)
    assert "in mid-message" in error.what
    assert inbox.taken == []
    assert events(prepared) == ["mailing", "not mailed"]


def test_a_line_that_breaks_before_the_answer_is_told_as_unknown_and_asked_about(
    prepared: PreparedMail, trusted: Certificates
) -> None:
    with serving(Inbox(hang_up_before_answer=True), trusted) as server:
        error = failed(prepared, server)
    assert "client may have it" in error.remedy
    assert events(prepared) == ["mailing", "mail unanswered"]
    again = prepare_mail(MailOrder(prepared.released.packet, to=ADDRESS))
    assert "may have arrived" in again.questions[0].words


def test_the_limit_that_the_server_declares_is_heeded_before_anything_is_sent(
    prepared: PreparedMail, trusted: Certificates
) -> None:
    inbox = Inbox()
    with serving(inbox, trusted, most_bytes=1_000) as server:
        error = failed(prepared, server)
    assert "the server takes 1,000 bytes" in error.what
    assert "--for-mail" in error.remedy
    assert inbox.recipients == []
    assert events(prepared) == []


def test_a_limit_that_the_server_tells_only_afterwards_is_told_as_size(
    prepared: PreparedMail, trusted: Certificates
) -> None:
    with serving(Inbox(data_answer="552 5.3.4 too big"), trusted) as server:
        assert "too large for the server: 552" in failed(prepared, server).what


def test_wrong_credentials_are_refused_and_never_repeated(
    prepared: PreparedMail, trusted: Certificates
) -> None:
    with serving(Inbox(), trusted, login=True) as server:
        wrong = dataclasses.replace(server, password=Secret("something-else"))
        error = failed(prepared, wrong)
    assert "535" in error.what
    assert "something-else" not in f"{error} {error.remedy}"
    assert events(prepared) == []


@pytest.mark.parametrize("security", list(Security))
def test_a_server_whose_certificate_nobody_vouches_for_gets_nothing(
    prepared: PreparedMail, trusted: Certificates, security: Security
) -> None:
    inbox = Inbox()
    with serving(inbox, trusted, security) as server:
        error = failed(prepared, dataclasses.replace(server, ca_file=None))
    assert "certificate" in error.what
    assert inbox.recipients == []


def test_a_server_with_the_certificate_of_another_host_gets_nothing(
    prepared: PreparedMail, tmp_path: Path
) -> None:
    other = certificates(tmp_path, "mail.example.org")
    with serving(Inbox(), other) as server:
        assert "certificate" in failed(prepared, server).what


def test_a_server_without_encryption_gets_nothing(
    prepared: PreparedMail, trusted: Certificates
) -> None:
    with serving(Inbox(), trusted, offers_tls=False) as server:
        assert "offers no encryption" in failed(prepared, server).what
    assert events(prepared) == []


def test_a_server_that_is_not_there_is_named(prepared: PreparedMail, trusted: Certificates) -> None:
    with serving(Inbox(), trusted) as server:
        pass
    error = failed(prepared, server)
    assert "cannot be reached" in error.what
    assert error.where == f"localhost:{server.port}"


def test_a_ledger_that_cannot_be_written_sends_nothing(
    prepared: PreparedMail, trusted: Certificates
) -> None:
    inbox = Inbox()
    ledger = prepared.client / "ledger.jsonl"
    ledger.write_bytes(ledger.read_bytes().replace(b"clean", b"Clean"))
    with serving(inbox, trusted) as server, pytest.raises(InputRefused):
        send_mail(prepared, server)
    assert (inbox.data_asked, inbox.taken) == (0, [])


def test_two_runs_at_once_send_it_once(prepared: PreparedMail, trusted: Certificates) -> None:
    inbox = Inbox()
    with serving(inbox, trusted) as server:
        send_mail(prepared, server)
        with pytest.raises(Held, match="in the meantime"):
            send_mail(prepared, server)
    assert len(inbox.taken) == 1
    assert events(prepared) == ["mailing", "mailed"]

"""What is recorded when somebody signs, and that nothing is when nobody does."""

import hashlib
import threading

import pytest
from open_page import OpenPage, Visitor, client_folder, request, signature

from packets.base.errors import FileFaults, InputRefused, UsageError
from packets.handover.grants_kept import listed
from packets.recipe.model import Role
from packets.sealing.ledger import entries, verify
from packets.signatures.grant import Evidence

FIGURES = {"agi": 40671, "total_tax": 2753, "withholding": 3312, "refund": 559, "amount_owed": 0}


@pytest.fixture
def client(tmp_path):
    return client_folder(tmp_path)


def left_in(client):
    return {path.relative_to(client).as_posix() for path in client.rglob("*") if path.is_file()}


def test_a_signature_is_recorded_with_all_that_binds_it(client):
    page = OpenPage(request(client))
    answer = Visitor(page).post("signature", signature())
    grant = page.end().grant
    assert answer.json() == {"grant": grant.id, "given_at": grant.given_at.isoformat()}
    assert (grant.role, grant.how, grant.covers) == (Role.TAXPAYER, "on-screen", ("form-8879",))
    assert grant.given_at.tzinfo is not None
    form = (client / "documents" / "form-8879.pdf").read_bytes()
    assert grant.document_sha256 == hashlib.sha256(form).hexdigest()
    assert grant.figures.model_dump(exclude_none=True) == FIGURES
    assert grant.evidence.photo_id_seen
    assert "form-8879.pdf" in grant.consent
    kept = client / "signatures" / grant.image
    assert hashlib.sha256(kept.read_bytes()).hexdigest() == grant.image_sha256
    drawing = kept.with_suffix(".svg").read_bytes()
    assert hashlib.sha256(drawing).hexdigest() == grant.drawing_sha256
    assert verify(client).sound
    assert [entry.event for entry in entries(client)] == ["grant recorded"]
    assert entries(client)[0].facts["drawing_sha256"] == grant.drawing_sha256
    assert [entry.state for entry in listed(client)] == ["valid"]


def test_one_who_does_not_sign_leaves_nothing(client):
    before = left_in(client)
    page = OpenPage(request(client))
    Visitor(page).leave()
    assert "chose not to sign" in page.end().what
    assert left_in(client) == before


def test_a_page_that_nobody_comes_to_ends_by_itself_and_leaves_nothing(client):
    before = left_in(client)
    page = OpenPage(request(client), idle_minutes=0)
    assert "nobody signed" in page.end().what
    assert left_in(client) == before


def test_a_document_that_changed_while_it_was_read_is_not_signed(client):
    page = OpenPage(request(client))
    form = client / "documents" / "form-8879.pdf"
    form.write_bytes(form.read_bytes() + b"\n% later\n")
    before = left_in(client)
    answer = Visitor(page).post("signature", signature())
    assert answer.status_code == 409
    assert isinstance(page.end(), InputRefused)
    assert "another one than the signer was shown" in page.error.what
    assert left_in(client) == before


def test_of_two_tabs_that_sign_at_once_one_is_recorded(client):
    page = OpenPage(request(client))
    visitor = Visitor(page)
    answers = []

    def sign():
        answers.append(visitor.post("signature", signature()).status_code)

    tabs = [threading.Thread(target=sign) for _ in range(2)]
    for tab in tabs:
        tab.start()
    for tab in tabs:
        tab.join()
    assert sorted(answers) == [200, 409]
    assert page.end().grant.id
    assert len(listed(client)) == 1


@pytest.mark.parametrize(
    ("changed", "rule"),
    [
        ({"evidence": Evidence()}, "identity in person"),
        ({"how": "remote"}, "remote evidence"),
        ({"covers": ("form-*",), "evidence": Evidence()}, "identity in person"),
        (
            {
                "how": "remote",
                "evidence": Evidence(verification="failed", attempts=3),
            },
            "three failed quizzes",
        ),
    ],
)
def test_nobody_is_asked_to_sign_what_a_rule_would_refuse(client, changed, rule):
    before = left_in(client)
    with pytest.raises(UsageError, match=rule):
        OpenPage(request(client, **changed))
    assert left_in(client) == before


@pytest.mark.parametrize(
    "changed",
    [
        {"covers": ("Not A Category",)},
        {"recorded_by": "123-45-6789"},
        {"identity": "../x"},
        {"page": 1, "signed": None},
    ],
)
def test_values_that_a_grant_may_not_have_are_told_before_the_page_opens(client, changed):
    with pytest.raises((FileFaults, UsageError)):
        OpenPage(request(client, **changed))


def test_a_number_in_the_name_of_the_document_is_refused(client):
    named = client / "documents" / "123-45-6789.pdf"
    named.write_bytes((client / "documents" / "form-8879.pdf").read_bytes())
    with pytest.raises((UsageError, InputRefused)) as refused:
        OpenPage(request(client, "documents/123-45-6789.pdf"))
    assert "6789" not in str(refused.value)

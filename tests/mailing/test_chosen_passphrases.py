"""What a client's standing passphrase may hold, where it is kept, what it seals."""

from collections.abc import Iterator
from pathlib import Path

import keyring
import pytest
from keyring.backend import KeyringBackend
from keyring.backends.fail import Keyring as NoKeyring
from mail_samples import ADDRESS, NUMBER, client_folder

from packets.base.errors import UsageError
from packets.base.secret import Secret
from packets.handover.passphrase import passphrase_for
from packets.identifiers.kinds import Kind, KnownNumber
from packets.intake.client_folder import ClientFolder
from packets.intake.engagement import ENGAGEMENT_FILE, EngagementFile, engagement_faults
from packets.mailing.credentials import SERVICE as MAIL_SERVICE
from packets.mailing.credentials import password_for
from packets.mailing.passphrases import drop_standing, set_standing
from packets.recipe.loader import load_file
from packets.recipe.shelf import find_recipe
from packets.sealing.chosen_words import bits_of, holds_date, judge_chosen
from packets.sealing.ledger import entries
from packets.sealing.standing import SERVICE, standing_passphrase

GOOD = "otter lantern quilt tundra maple"
KNOWN = (KnownNumber(Kind.SSN, Secret(NUMBER.replace("-", "")), given=True),)


class Drawer(KeyringBackend):
    """A keyring that keeps everything in a dictionary."""

    priority = 1.0  # type: ignore[assignment] # keyring declares a property of its own kind

    def __init__(self) -> None:
        super().__init__()
        self.kept: dict[tuple[str, str], str] = {}

    def get_password(self, service: str, username: str) -> str | None:
        return self.kept.get((service, username))

    def set_password(self, service: str, username: str, password: str) -> None:
        self.kept[service, username] = password

    def delete_password(self, service: str, username: str) -> None:
        del self.kept[service, username]


@pytest.fixture
def drawer() -> Iterator[Drawer]:
    before, made = keyring.get_keyring(), Drawer()
    keyring.set_keyring(made)
    yield made
    keyring.set_keyring(before)


@pytest.fixture
def no_keyring() -> Iterator[None]:
    before = keyring.get_keyring()
    keyring.set_keyring(NoKeyring())
    yield
    keyring.set_keyring(before)


@pytest.fixture
def client(tmp_path: Path) -> Path:
    return client_folder(tmp_path)


def opened(client: Path) -> ClientFolder:
    engagement = load_file(client / ENGAGEMENT_FILE, EngagementFile, engagement_faults)
    return ClientFolder(client, engagement, KNOWN, (), ())


def refusal(words: str, bits: int = 60, names: tuple[str, ...] = ()) -> str:
    with pytest.raises(UsageError) as caught:
        judge_chosen(Secret(words), bits=bits, known=KNOWN, words=names)
    assert words not in f"{caught.value} {caught.value.remedy}"
    return caught.value.what


@pytest.mark.parametrize(
    "digits", ["6661", "3456", "1234", "12-34", "1 2 3 4", "6x6x6x1", "１２３４"]
)
def test_four_digits_of_a_known_number_are_refused(digits: str) -> None:
    assert "four digits of a number" in refusal(f"otter lantern {digits} quilt tundra")


@pytest.mark.parametrize("digits", ["6543", "7777", "666-999"])
def test_other_digits_are_not_taken_for_the_known_number(digits: str) -> None:
    judge_chosen(Secret(f"{GOOD} {digits}"), bits=60, known=KNOWN, words=())


@pytest.mark.parametrize(
    "date",
    [
        "3/4/1961",
        "03-04-61",
        "1961.03.04",
        "19610304",
        "030461",
        "march 4 1961",
        "4th of March",
        "Mar-4",
        "31.12.99",
    ],
)
def test_a_date_of_birth_in_any_form_is_refused(date: str) -> None:
    assert "date of birth" in refusal(f"otter lantern {date} quilt tundra")


@pytest.mark.parametrize("words", ["marble-7-otter", "13/32/1961", "may we dance", "2025"])
def test_what_is_no_day_is_no_date(words: str) -> None:
    assert not holds_date(words)


@pytest.mark.parametrize("digits", ["90210", "90210-0001", "902100001"])
def test_a_zip_code_is_refused(digits: str) -> None:
    said = refusal(f"otter lantern quilt {digits}")
    assert "ZIP code" in said or "account number" in said


def test_more_than_127_bytes_are_refused_although_they_are_fewer_characters() -> None:
    words = "wörter über öfen äpfel üben grüße " * 3 + "süß größer ärger öl"
    assert len(words) < 127 < len(words.encode())
    assert "ignore all after 127" in refusal(words)


def test_a_weak_passphrase_is_refused_with_both_figures() -> None:
    said = refusal("password password password")
    assert "bits, and the recipe asks for 60" in said


def test_names_of_the_client_are_worth_less() -> None:
    names = ("Ottilie Maersh", ADDRESS)
    plain, told = bits_of(Secret("ottilie maersh 77")), bits_of(Secret("ottilie maersh 77"), names)
    assert told < plain
    assert "bits" in refusal("ottilie maersh 77", bits=40, names=names)


def test_the_recipe_decides_how_strong_it_must_be(client: Path) -> None:
    weak = client.parent / "strict.toml"
    shipped = find_recipe("client-copy").path.read_text()
    weak.write_text(shipped.replace("[seal]\n", "[seal]\nbits = 110\n"))
    with pytest.raises(UsageError, match="asks for 110"):
        set_standing(client, Secret(GOOD), str(weak), in_keyring=False)
    assert standing_passphrase(client) is None
    set_standing(client, Secret(GOOD), "client-copy", in_keyring=False)
    recipe = find_recipe(str(weak)).recipe
    with pytest.raises(UsageError, match="asks for 110"):
        passphrase_for(recipe, None, opened(client))


def test_it_is_kept_privately_and_the_ledger_says_only_that_it_was_set(client: Path) -> None:
    place = set_standing(client, Secret(GOOD), "client-copy", in_keyring=False)
    assert place.path.parent == client / "keys"
    assert place.path.stat().st_mode & 0o077 == 0
    assert standing_passphrase(client) == Secret(GOOD)
    assert entries(client)[-1].event == "standing passphrase set"
    assert GOOD not in (client / "ledger.jsonl").read_text()


def test_it_seals_the_clients_packets_and_nobody_elses(client: Path) -> None:
    set_standing(client, Secret(GOOD), "client-copy", in_keyring=False)
    chosen = {
        name: passphrase_for(find_recipe(name).recipe, None, opened(client))
        for name in ("client-copy", "lender-copy", "office-copy", "efile-attachments")
    }
    assert chosen["client-copy"].secret == Secret(GOOD)
    assert chosen["client-copy"].made_up is None
    for name in ("lender-copy", "office-copy"):
        assert chosen[name].secret == chosen[name].made_up != Secret(GOOD)
    assert chosen["efile-attachments"].secret is None


def test_in_the_keyring_only_a_note_lies_in_the_folder(client: Path, drawer: Drawer) -> None:
    set_standing(client, Secret(GOOD), "client-copy", in_keyring=False)
    place = set_standing(client, Secret(GOOD), "client-copy", in_keyring=True)
    assert drawer.kept == {(SERVICE, "2025-0201"): GOOD}
    assert all(GOOD not in path.read_text() for path in (client / "keys").iterdir())
    assert place.in_keyring
    assert standing_passphrase(client) == Secret(GOOD)
    assert drop_standing(client)
    assert drawer.kept == {}
    assert standing_passphrase(client) is None
    assert not drop_standing(client)


def test_a_keyring_that_lost_it_stops_the_build_instead_of_making_another(
    client: Path, drawer: Drawer
) -> None:
    set_standing(client, Secret(GOOD), "client-copy", in_keyring=True)
    drawer.kept.clear()
    with pytest.raises(UsageError, match="should be in the system's keyring"):
        passphrase_for(find_recipe("client-copy").recipe, None, opened(client))


@pytest.mark.usefixtures("no_keyring")
def test_without_a_keyring_nothing_is_set(client: Path) -> None:
    with pytest.raises(UsageError, match="keyring does not answer"):
        set_standing(client, Secret(GOOD), "client-copy", in_keyring=True)
    assert standing_passphrase(client) is None


def test_the_mail_accounts_password_comes_from_the_keyring(drawer: Drawer) -> None:
    drawer.kept[MAIL_SERVICE, "office@mail.example.org"] = "north-quay-lantern"
    assert password_for("mail.example.org", "office", None) == Secret("north-quay-lantern")
    with pytest.raises(UsageError, match="no password for this mail account"):
        password_for("mail.example.org", "somebody", None)


@pytest.mark.usefixtures("no_keyring")
def test_an_account_without_any_password_is_refused() -> None:
    with pytest.raises(UsageError, match="no password for this mail account"):
        password_for("mail.example.org", "office", None)

"""office.toml: found from the client folder upward or given, and every fault named."""

from pathlib import Path

import pytest

from packets.base.errors import FileFaults, UsageError
from packets.cli.new_folder import new_office
from packets.intake.office import find_office

TEXT = """\
[office]
name = "Aldertree Tax"
sender = "office@aldertree.example"
signatures = "office-signatures"
"""


@pytest.fixture
def client(tmp_path: Path) -> Path:
    folder = tmp_path / "clients" / "2025" / "0147"
    folder.mkdir(parents=True)
    return folder


def test_the_nearest_file_upward_counts(tmp_path: Path, client: Path) -> None:
    (tmp_path / "office.toml").write_text(TEXT)
    found = find_office(client)
    assert found is not None
    assert found.office.sender == "office@aldertree.example"
    assert found.store == tmp_path / "office-signatures"
    (client.parent / "office.toml").write_text('[office]\nname = "A branch"\n')
    nearer = find_office(client)
    assert nearer is not None
    assert (nearer.office.name, nearer.store) == ("A branch", None)


def test_a_given_file_beats_the_one_that_would_be_found(tmp_path: Path, client: Path) -> None:
    (client.parent / "office.toml").write_text('[office]\nname = "A branch"\n')
    given = tmp_path / "other.toml"
    given.write_text(TEXT)
    found = find_office(client, given)
    assert found is not None
    assert found.path == given


def test_a_given_file_that_is_not_there_is_an_error(tmp_path: Path, client: Path) -> None:
    with pytest.raises(UsageError, match="no such file"):
        find_office(client, tmp_path / "office.toml")


def test_a_folder_that_everybody_may_write_to_is_not_the_offices(client: Path) -> None:
    shared = client.parent
    (shared / "office.toml").write_text(TEXT)
    shared.chmod(0o1777)
    assert find_office(client) is None
    shared.chmod(0o700)
    assert find_office(client) is not None


def test_all_faults_are_named_at_once(client: Path) -> None:
    (client / "a-file").write_text("")
    (client / "office.toml").write_text(
        '[office]\nname = ""\nsender = "nobody"\nsignatures = "a-file"\nemail = "x"\n'
    )
    with pytest.raises(FileFaults) as caught:
        find_office(client)
    said = str(caught.value)
    for key in ("office.name", "office.sender", "office.signatures", "office.email"):
        assert key in said
    assert "line 3" in said


def test_the_laid_out_office_lacks_only_its_name(tmp_path: Path, client: Path) -> None:
    new_office(tmp_path)
    file = tmp_path / "office.toml"
    with pytest.raises(FileFaults) as caught:
        find_office(client)
    assert [fault.where.split(", ")[1] for fault in caught.value.faults] == ["office.name"]
    file.write_text(file.read_text().replace('name = ""', 'name = "Aldertree Tax"'))
    found = find_office(client)
    assert found is not None
    assert found.store is not None
    assert (found.store / "grants.toml").is_file()

"""`packets new` makes private, commented files, and touches nothing that is there."""

import stat
import tomllib

import pytest

from packets.base.errors import UsageError
from packets.cli.entry import run
from packets.cli.new_folder import FOLDERS, TEMPLATES, new_client


def mode_of(path):
    return stat.S_IMODE(path.stat().st_mode)


def test_an_empty_client_folder_has_all_its_files_and_all_of_them_are_private(tmp_path):
    client = tmp_path / "client"
    made = new_client(client)
    assert set(made) == {client, *(client / name for name in (*FOLDERS, *TEMPLATES))}
    assert {mode_of(client / name) for name in FOLDERS} == {0o700}
    assert {mode_of(client / name) for name in TEMPLATES} == {0o600}


def test_a_second_run_changes_nothing(tmp_path):
    new_client(tmp_path)
    (tmp_path / "engagement.toml").write_text("mine")
    (tmp_path / "identifiers.toml").unlink()
    assert new_client(tmp_path) == (tmp_path / "identifiers.toml",)
    assert (tmp_path / "engagement.toml").read_text() == "mine"


def test_a_link_is_neither_followed_nor_replaced(tmp_path):
    client, elsewhere = tmp_path / "client", tmp_path / "elsewhere.toml"
    client.mkdir()
    (client / "engagement.toml").symlink_to(elsewhere)
    new_client(client)
    assert not elsewhere.exists()


def test_a_file_where_a_folder_belongs_is_named(tmp_path):
    (tmp_path / "documents").write_text("a file")
    with pytest.raises(UsageError, match="documents"):
        new_client(tmp_path)


def test_a_missing_folder_above_is_named(tmp_path, capsys):
    assert run(["new", str(tmp_path / "no" / "client")]) == 2
    assert "folder above" in capsys.readouterr().err


def uncommented(text):
    """The template with its examples switched on: `# key = value` and `# [[table]]`."""
    lines = []
    for line in text.splitlines():
        bare = line.removeprefix("# ")
        example = bare.startswith("[[") or (" = " in bare and bare.split(" = ")[0].isidentifier())
        lines.append(bare if line.startswith("# ") and example else line)
    return "\n".join(lines)


@pytest.mark.parametrize("name", sorted(TEMPLATES))
def test_templates_are_toml_with_and_without_their_examples(name, tmp_path):
    new_client(tmp_path)
    text = (tmp_path / name).read_text(encoding="utf-8")
    tomllib.loads(text)
    assert len(tomllib.loads(uncommented(text))) >= 1

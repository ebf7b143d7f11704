"""`packets recipe` lists what ships, prints one as it is written, and its schema."""

import json
from pathlib import Path

from packets.cli.entry import run
from packets.recipe.shelf import find_recipe, recipe_names


def test_every_shipped_recipe_is_listed(capsys):
    assert run(["recipe", "list"]) == 0
    out = capsys.readouterr().out
    assert recipe_names()
    for name in recipe_names():
        assert name in out


def test_a_recipe_is_shown_byte_for_byte(capsys):
    assert run(["recipe", "show", "client-copy"]) == 0
    path = Path(find_recipe("client-copy").path)
    assert capsys.readouterr().out == path.read_text(encoding="utf-8")


def test_the_schema_is_json_on_its_own(capsys):
    assert run(["recipe", "schema"]) == 0
    assert json.loads(capsys.readouterr().out)["$schema"].startswith("https://json-schema.org")


def test_faults_of_a_recipe_are_each_named(tmp_path, capsys):
    recipe = tmp_path / "mine.toml"
    recipe.write_text('recipe = 1\nname = "mine"\ntitel = "x"\n')
    assert run(["recipe", "show", str(recipe)]) == 2
    told = capsys.readouterr().err
    assert "line 3" in told
    assert "audience" in told

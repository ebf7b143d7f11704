"""The schema says what the loader takes, in the words of the model."""

import json
import re
import subprocess
import sys
from collections.abc import Iterator
from typing import Any

import pytest

from packets.intake.engagement import EngagementFile
from packets.recipe.model import Recipe
from packets.recipe.plain_words import PATTERNS_IN_WORDS
from packets.recipe.schema import recipe_schema, recipe_schema_text
from packets.recipe.shapes import known_keys

PRINT = "from packets.recipe.schema import recipe_schema_text; print(recipe_schema_text())"


def values_under(key: str, tree: Any) -> Iterator[Any]:
    if isinstance(tree, dict):
        for name, inner in tree.items():
            if name == key:
                yield inner
            yield from values_under(key, inner)
    elif isinstance(tree, list):
        for inner in tree:
            yield from values_under(key, inner)


def test_the_schema_has_the_keys_that_a_user_writes() -> None:
    schema = recipe_schema()
    assert set(schema["properties"]) == set(known_keys(Recipe))
    assert "with" in schema["$defs"]["MaskRules"]["properties"]
    assert "with_" not in schema["$defs"]["MaskRules"]["properties"]


def test_every_table_refuses_unknown_keys_in_the_schema_too() -> None:
    tables = [shape for shape in recipe_schema()["$defs"].values() if shape["type"] == "object"]
    assert tables
    assert all(table["additionalProperties"] is False for table in tables)


def test_docstrings_are_the_descriptions() -> None:
    part = recipe_schema()["$defs"]["Part"]["properties"]
    assert "ask to be assembled" in part["order"]["description"]
    assert recipe_schema()["properties"]["title"]["description"] == "May hold {tax_year}."


def test_the_text_is_json_of_the_same_schema() -> None:
    assert json.loads(recipe_schema_text()) == recipe_schema()


@pytest.mark.parametrize("model", [Recipe, EngagementFile])
def test_every_pattern_of_a_written_file_is_explained_in_words(model: Any) -> None:
    patterns = set(values_under("pattern", model.model_json_schema()))
    assert patterns
    assert patterns <= set(PATTERNS_IN_WORDS)
    for pattern in patterns:
        re.compile(pattern)


def test_the_text_is_the_same_in_every_run() -> None:
    texts = {
        subprocess.run(
            [sys.executable, "-c", PRINT],
            env={"PYTHONHASHSEED": seed},
            capture_output=True,
            check=True,
        ).stdout
        for seed in "1234"
    }
    assert len(texts) == 1

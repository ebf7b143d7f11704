"""The recipe as JSON Schema, for editors that complete keys and show their meaning."""

import json
from typing import Any

from packets.recipe.model import Recipe

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def recipe_schema() -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of a recipe file; descriptions are our own docstrings."""
    return {"$schema": DIALECT, **Recipe.model_json_schema(by_alias=True, mode="validation")}


def recipe_schema_text() -> str:
    """The same as indented JSON, the same text for the same version."""
    return json.dumps(recipe_schema(), indent=2, ensure_ascii=False) + "\n"

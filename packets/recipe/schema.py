"""The recipe as JSON Schema, for editors that complete keys and show their meaning."""

import ast
import inspect
import json
import textwrap
from collections.abc import Iterator
from itertools import pairwise
from typing import Any

from packets.recipe.model import Recipe, Table

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def recipe_schema() -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of a recipe file; descriptions are our own docstrings."""
    schema = Recipe.model_json_schema(by_alias=True, mode="validation")
    _describe(schema, Recipe)
    for model in _models(Table):
        if model.__name__ in schema["$defs"]:
            _describe(schema["$defs"][model.__name__], model)
    for table in schema["properties"].values():
        if isinstance(table.get("default"), dict):
            del table["default"]  # its keys have their own; and sets come in any order
    return {"$schema": DIALECT, **schema}


def _models(model: type[Table]) -> Iterator[type[Table]]:
    for below in model.__subclasses__():
        yield below
        yield from _models(below)


def _describe(schema: dict[str, Any], model: type[Table]) -> None:
    """Put the docstring behind each field into the schema.

    They are read from the source here, and not by pydantic wherever a file of a
    person is read: that costs each command more than the file itself.
    """
    for name, meaning in _meanings(model):
        schema["properties"][model.model_fields[name].alias or name]["description"] = meaning


def _meanings(model: type[Table]) -> Iterator[tuple[str, str]]:
    (definition,) = ast.parse(textwrap.dedent(inspect.getsource(model))).body
    lines = definition.body if isinstance(definition, ast.ClassDef) else []
    for field, below in pairwise(lines):
        match field, below:
            case (
                ast.AnnAssign(target=ast.Name(id=name)),
                ast.Expr(value=ast.Constant(value=str(meaning))),
            ):
                yield name, inspect.cleandoc(meaning)


def recipe_schema_text() -> str:
    """The same as indented JSON, the same text for the same version."""
    return json.dumps(recipe_schema(), indent=2, ensure_ascii=False) + "\n"

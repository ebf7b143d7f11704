"""What a model says about a key: its table, its choices, whether it is secret."""

import types
from enum import Enum
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from packets.recipe.key_faults import KeyPath

LIST_SHAPES = (tuple, list, set, frozenset)


def key_of(name: str, field: FieldInfo) -> str:
    """The key as a user writes it: the alias where there is one."""
    if isinstance(field.validation_alias, str):
        return field.validation_alias
    return field.alias or name


def known_keys(model: type[BaseModel]) -> dict[str, FieldInfo]:
    """All keys a user may write in this table, in the order of the model."""
    return {key_of(name, field): field for name, field in model.model_fields.items()}


def bare(annotation: Any) -> Any:
    """The annotation without `Annotated` and without the `| None` of an optional key."""
    while get_origin(annotation) is Annotated:
        annotation = get_args(annotation)[0]
    if get_origin(annotation) in (Union, types.UnionType):
        members = [member for member in get_args(annotation) if member is not type(None)]
        if len(members) == 1:
            return bare(members[0])
    return annotation


def as_table(annotation: Any) -> type[BaseModel] | None:
    """The table model behind an annotation, if it is one."""
    found = bare(annotation)
    return found if isinstance(found, type) and issubclass(found, BaseModel) else None


def entry_shape(annotation: Any, position: int) -> Any:
    """What one entry of a list must be; None when the annotation does not say."""
    arguments = get_args(bare(annotation))
    if not arguments:
        return None
    if len(arguments) == 1 or arguments[1] is Ellipsis:
        return arguments[0]
    return arguments[position] if position < len(arguments) else None


def shape_at(model: type[BaseModel], path: KeyPath) -> Any:
    """The annotation at a path; None where the model knows no such key."""
    here: Any = model
    for step in path:
        table = as_table(here)
        if isinstance(step, int):
            here = entry_shape(here, step)
        elif table is not None:
            field = known_keys(table).get(step)
            here = field.annotation if field is not None else None
        elif get_origin(bare(here)) is dict:
            here = get_args(bare(here))[1]
        else:
            return None
    return here


def choices(annotation: Any) -> tuple[Any, ...]:
    """The values of a Literal or Enum, in their own order; empty for any other shape."""
    found = bare(annotation)
    if get_origin(found) is Literal:
        return get_args(found)
    if isinstance(found, type) and issubclass(found, Enum):
        return tuple(member.value for member in found)
    return ()


def is_secret(model: type[BaseModel], path: KeyPath) -> bool:
    """Whether a key on the way to this path is marked `json_schema_extra={"secret": True}`."""
    here: Any = model
    for depth, step in enumerate(path):
        table = as_table(here)
        if table is not None and isinstance(step, str):
            field = known_keys(table).get(step)
            extra = field.json_schema_extra if field is not None else None
            if isinstance(extra, dict) and extra.get("secret"):
                return True
        here = shape_at(model, path[: depth + 1])
    return False

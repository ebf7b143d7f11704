"""Recipes by name, from any folder, or by path."""

import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

from packets.base.canonical import sha256_hex
from packets.base.errors import UsageError
from packets.recipe.check_audience import check_audience
from packets.recipe.check_lines import check_lines
from packets.recipe.check_parts import check_categories, check_parts
from packets.recipe.check_signing import KnownLines, check_signing
from packets.recipe.check_texts import check_texts
from packets.recipe.draft import TomlTable
from packets.recipe.key_faults import KeyFault, nearest_word, word_list
from packets.recipe.loader import load_bytes
from packets.recipe.model import Recipe
from packets.recipe.text_file import read_small_file

_NAME = re.compile(r"[^/\\]+")
_ENDING = ".toml"


@dataclass(frozen=True)
class LoadedRecipe:
    """A recipe without faults, and the file it came from."""

    recipe: Recipe
    sha256: str
    """Of the file's bytes, the very ones that were read."""
    path: Path

    @property
    def given(self) -> str:
        """What finds it again: the name of a shipped recipe, or the absolute path of its file."""
        shipped = Path(str(shipped_folder("recipes")))
        return self.path.stem if self.path.parent == shipped else str(self.path.absolute())


def shipped_folder(name: str) -> Traversable:
    """A folder that travels with `packets`: `recipes` or `sample_pdfs`.

    In an installed wheel it lies inside the package; in a clone (also one
    installed with `pip install -e`) beside it.
    """
    package = files("packets")
    inside = package / name
    return inside if inside.is_dir() else Path(str(package)).parent / name


def recipe_names() -> tuple[str, ...]:
    """Names of the recipes that ship, sorted."""
    folder = shipped_folder("recipes")
    names = [entry.name for entry in folder.iterdir()] if folder.is_dir() else []
    return tuple(sorted(name.removesuffix(_ENDING) for name in names if name.endswith(_ENDING)))


def find_recipe(
    name_or_path: str,
    known_categories: Collection[str] | None = None,
    known_lines: KnownLines | None = None,
) -> LoadedRecipe:
    """The shipped recipe of that name, or the recipe file at that path.

    A text with a slash or the ending `.toml` is a path. Raises `UsageError` for a
    name that is not there, and `FileFaults` with every fault of the file.
    """
    if name_or_path.endswith(_ENDING) or not _NAME.fullmatch(name_or_path):
        return load_recipe(Path(name_or_path), known_categories, known_lines)
    names = recipe_names()
    if name_or_path not in names:
        near = nearest_word(name_or_path, names)
        raise UsageError(
            "no recipe of this name" + (f"; did you mean {near!r}?" if near else ""),
            where="recipe",
            remedy=f"There are: {word_list(names)}. For a file of your own give its path, "
            f"with a slash or the ending {_ENDING}.",
        )
    shipped = shipped_folder("recipes") / f"{name_or_path}{_ENDING}"
    return _loaded(shipped.read_bytes(), Path(str(shipped)), known_categories, known_lines)


def load_recipe(
    path: Path,
    known_categories: Collection[str] | None = None,
    known_lines: KnownLines | None = None,
) -> LoadedRecipe:
    """The recipe file at `path`, checked within and between its keys.

    `known_categories` and `known_lines` are those of the house; without them, patterns
    and `signed_by` are not held against them. Raises `FileFaults` with every fault of the file.
    """
    return _loaded(read_small_file(path), path, known_categories, known_lines)


def _loaded(
    data: bytes,
    path: Path,
    known_categories: Collection[str] | None,
    known_lines: KnownLines | None,
) -> LoadedRecipe:
    """The recipe in these bytes."""
    categories = None if known_categories is None else frozenset(known_categories)
    return _judged(data, path, categories, frozenset(known_lines or ()))


@lru_cache(maxsize=8)
def _judged(
    data: bytes,
    path: Path,
    known_categories: frozenset[str] | None,
    known_lines: frozenset[tuple[str, str]],
) -> LoadedRecipe:
    """Judged once for the same bytes: the command line asks first, and the build after it."""

    def between_keys(table: TomlTable) -> Iterator[KeyFault]:
        yield from check_texts(table)
        yield from check_parts(table)
        yield from check_audience(table)
        yield from check_lines(table)
        yield from check_signing(table, known_lines)
        if known_categories is not None:
            yield from check_categories(table, known_categories)

    recipe = load_bytes(data, path, Recipe, between_keys)
    return LoadedRecipe(recipe=recipe, sha256=sha256_hex(data), path=path)

"""The forms and papers that are known, as data: `titles.toml` as frozen records."""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Annotated

from pydantic import Field

from packets.recipe.model import Table

Words = tuple[Annotated[str, Field(min_length=3)], ...]


class KnownTitle(Table):
    """One kind of page. `titles.toml` says what each key means."""

    category: Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9-]*$", max_length=60)]
    title: str
    heads: Words = ()
    names: Words = ()
    marks: Words = ()
    cues: Words = ()
    openings: Words = ()
    sequence: Annotated[str, Field(pattern=r"^[0-9]{0,3}[A-Z]?$")] = ""
    omb: Annotated[str, Field(pattern=r"^[0-9]{4}-[0-9]{4}$")] | None = None
    pages: Annotated[int, Field(ge=0, le=20)] = 0
    instructions_from: Annotated[int, Field(ge=0, le=20)] = 0
    needs: Words = ()
    over: tuple[str, ...] = ()
    to_be_filed: bool = False
    undated: bool = False
    year_ahead: bool = False


class StateWords(Table):
    """Words by which a state's form is known beside the state's name."""

    returns: Words
    agencies: Words
    vouchers: Words
    weak: Words


class _TitlesFile(Table):
    form: tuple[KnownTitle, ...]
    states: dict[str, str]
    state_words: StateWords


@dataclass(frozen=True)
class Titles:
    """Everything that classification knows."""

    forms: tuple[KnownTitle, ...]
    states: tuple[tuple[str, str], ...]
    """Pairs of a name in small letters and its two-letter code, longest name first."""
    state_words: StateWords

    def of(self, category: str) -> KnownTitle | None:
        """The entry of a category, or None."""
        return next((form for form in self.forms if form.category == category), None)


@cache
def known_titles() -> Titles:
    """The shipped titles. They are read once; the records are frozen."""
    text = files("packets.intake").joinpath("titles.toml").read_text(encoding="utf-8")
    loaded = _TitlesFile.model_validate(tomllib.loads(text))
    states = sorted(
        ((name.lower(), code) for code, name in loaded.states.items()),
        key=lambda pair: (-len(pair[0]), pair),
    )
    return Titles(loaded.form, tuple(states), loaded.state_words)


@cache
def known_categories() -> frozenset[str]:
    """Every category that a recipe, a sub-folder or engagement.toml may name."""
    return frozenset(form.category for form in known_titles().forms)

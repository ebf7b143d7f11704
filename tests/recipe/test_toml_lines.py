"""The line of each key, in whatever way TOML lets a person write it."""

import json
import tomllib
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from packets.recipe.key_faults import KeyPath
from packets.recipe.toml_lines import find_key_lines

EVERY_FORM = '''\
# a comment with [brackets] and = signs
top = 1
"quoted key" = "a # no comment"
dotted.inner."x.y" = 'C:\\path'   # after
many = """
[not.a.header]
key = 1
"""
raw = \'\'\'
x = 2 \'\' \'\'\'
list = [
  1,   # one
  [2, 3],
  { a = 1, b = [4,
     5] },
]

[table.deep]
when = 1979-05-27 07:32:00
[[part]]
take = ["a", "b"]
  [[part.sub]]
  k = 1
  [[part.sub]]
  k = 2
[[part]]
  [part.only]
  z = true
  [[part.sub]]
  k = 3
'''


def test_every_form_of_key_has_its_line() -> None:
    lines = find_key_lines(EVERY_FORM).lines
    expected: dict[KeyPath, int] = {
        ("top",): 2,
        ("quoted key",): 3,
        ("dotted", "inner", "x.y"): 4,
        ("many",): 5,
        ("raw",): 9,
        ("list", 1, 1): 13,
        ("list", 2, "b", 1): 15,
        ("table", "deep", "when"): 19,
        ("part", 0, "take", 1): 21,
        ("part", 0, "sub", 0, "k"): 23,
        ("part", 0, "sub", 1, "k"): 25,
        ("part", 1): 26,
        ("part", 1, "only", "z"): 28,
        ("part", 1, "sub", 0, "k"): 30,
    }
    assert {path: lines.get(path) for path in expected} == expected


def test_windows_line_ends_count_once() -> None:
    assert find_key_lines("a = 1\r\n\r\nb = 2\r\n").lines == {("a",): 1, ("b",): 3}


def paths_in(value: Any, at: KeyPath = ()) -> set[KeyPath]:
    found = {at} if at else set()
    if isinstance(value, dict):
        return found.union(*(paths_in(inner, (*at, key)) for key, inner in value.items()))
    if isinstance(value, list):
        return found.union(*(paths_in(inner, (*at, n)) for n, inner in enumerate(value)))
    return found


def test_the_reader_sees_exactly_the_keys_the_parser_sees() -> None:
    assert set(find_key_lines(EVERY_FORM).lines) == paths_in(tomllib.loads(EVERY_FORM))


TEXT = st.text(st.sampled_from("ab\"'\\#[]{}=,.\té"), max_size=8)
VALUE = st.recursive(
    st.one_of(TEXT.map(json.dumps), st.integers(-9, 9).map(str), st.just("true")),
    lambda inner: st.lists(inner, max_size=3).map(lambda many: "[" + ",\n ".join(many) + "]"),
    max_leaves=6,
)


@given(st.dictionaries(TEXT, VALUE, max_size=5))
def test_keys_of_any_shape_are_found_where_they_stand(pairs: dict[str, str]) -> None:
    text = ""
    expected: dict[KeyPath, int] = {}
    for key, value in pairs.items():
        expected[(key,)] = text.count("\n") + 1
        text += f"{json.dumps(key)} = {value}\n"
    found = find_key_lines(text)
    assert set(found.lines) == paths_in(tomllib.loads(text))
    assert {path: found.lines[path] for path in expected} == expected
    assert found.repeated == []


@given(st.text(max_size=200))
def test_no_text_breaks_the_reader(text: str) -> None:
    find_key_lines(text)

"""Whatever a recipe file holds, it loads or its faults are named; nothing else happens."""

import contextlib
import json
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from packets.base.errors import FileFaults
from packets.recipe.shelf import load_recipe, shipped_folder

KNOWN = ("form-1040", "w-2")
LINES = (shipped_folder("recipes") / "client-copy.toml").read_text().splitlines()
KEYS = sorted({line.split(" = ")[0] for line in LINES if " = " in line and line[0] != "#"})
VALUES = ["1", "true", '""', '"*"', "[]", "{}", "[[]]", '["x"]', "2025-01-01", "nan", "1e9", "[{}]"]


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("hostile") / "mine.toml"


def load(path: Path, text: str) -> None:
    path.write_bytes(text.encode("utf-8", "surrogatepass"))
    with contextlib.suppress(FileFaults):
        load_recipe(path, KNOWN)


@pytest.mark.parametrize("key", [*KEYS, "part", "sign", "mask", "cover", "stamp", "seal", "mail"])
@pytest.mark.parametrize("value", VALUES)
def test_any_value_under_any_key_is_named_or_taken(path: Path, key: str, value: str) -> None:
    kept = [line for line in LINES if not line.startswith(f"{key} =") and f"[{key}]" not in line]
    load(path, "\n".join([f"{key} = {value}", *kept]))
    load(path, "\n".join([*kept, f"{key} = {value}"]))


@given(st.lists(st.sampled_from(LINES), max_size=30))
def test_lines_in_any_order_are_named_or_taken(path: Path, lines: list[str]) -> None:
    load(path, "\n".join(lines))


@settings(suppress_health_check=[HealthCheck.too_slow])
@given(
    st.recursive(
        st.none() | st.booleans() | st.integers() | st.text(max_size=4),
        lambda inner: st.lists(inner, max_size=3),
        max_leaves=8,
    ),
    st.sampled_from(["part", "take", "audience", "mask", "with", "sign", "title"]),
)
def test_any_json_value_in_a_recipe_is_named_or_taken(path: Path, value: object, key: str) -> None:
    load(path, f"{key} = {json.dumps(value)}\n")


@given(st.text(max_size=300))
def test_any_text_at_all_is_named_or_taken(path: Path, text: str) -> None:
    load(path, text)

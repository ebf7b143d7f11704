"""A file over 300 lines or a function over 50 probably has two jobs."""

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
FILES = sorted(path for folder in ("packets", "tests") for path in (ROOT / folder).rglob("*.py"))


def named(path):
    return path.relative_to(ROOT).as_posix()


@pytest.mark.parametrize("path", FILES, ids=named)
def test_no_file_and_no_function_is_too_long(path):
    text = path.read_text(encoding="utf-8")
    assert len(text.splitlines()) <= 300
    long = [
        f"{node.name} has {node.end_lineno - node.lineno + 1} lines"
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        and node.end_lineno - node.lineno + 1 > 50
    ]
    assert not long


def test_there_is_something_to_measure():
    assert len(FILES) > 50

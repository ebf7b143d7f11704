"""The wheel holds what a user needs, and nothing of a test."""

import shutil
import subprocess
import sys
import zipfile
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
NEEDED = (77,)
"""The major version of setuptools that pyproject.toml asks for."""


def setuptools_version():
    try:
        return tuple(int(part) for part in version("setuptools").split(".")[:1])
    except PackageNotFoundError:
        return (0,)


@pytest.fixture(scope="module")
def names(tmp_path_factory):
    """Names in a wheel that is built offline from a copy of the tracked files."""
    if setuptools_version() < NEEDED:
        pytest.skip("building without the network needs setuptools 77 in this environment")
    folder = tmp_path_factory.mktemp("wheel")
    copy = folder / "source"
    copy.mkdir()
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        check=True,
    )
    for name in filter(None, listed.stdout.decode().split("\0")):
        if (ROOT / name).is_file() or (ROOT / name).is_symlink():
            (copy / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(ROOT / name, copy / name, follow_symlinks=False)
    build = [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--no-build-isolation"]
    subprocess.run([*build, "--wheel-dir", str(folder), str(copy)], check=True)
    (wheel,) = folder.glob("packets-*.whl")
    return zipfile.ZipFile(wheel).namelist()


def test_every_module_is_inside(names):
    for path in (ROOT / "packets").rglob("*.py"):
        assert path.relative_to(ROOT).as_posix() in names


def test_recipes_templates_and_form_titles_are_inside(names):
    shipped = [f"packets/recipes/{path.name}" for path in ROOT.glob("recipes/*.toml")]
    data = [
        path.relative_to(ROOT).as_posix()
        for path in (ROOT / "packets").rglob("*")
        if path.suffix
        in (".toml", ".ttf", ".otf", ".txt", ".html", ".css", ".js", ".svg", ".npz", ".bin")
    ]
    assert shipped
    assert data
    assert set(shipped + data) <= set(names)


def test_the_sample_client_folders_are_inside(names):
    listed = subprocess.run(
        ["git", "ls-files", "-z", "sample_pdfs/joint-return", "sample_pdfs/single-filer"],
        cwd=ROOT,
        capture_output=True,
        check=True,
    )
    samples = [f"packets/{name}" for name in filter(None, listed.stdout.decode().split("\0"))]
    assert samples
    assert set(samples) <= set(names)


def test_the_licence_is_inside_and_tests_are_not(names):
    assert any(name.endswith("licenses/LICENSE") for name in names)
    assert not [name for name in names if name.startswith(("tests/", "sample_pdfs/making"))]

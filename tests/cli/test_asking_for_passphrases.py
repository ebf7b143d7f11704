"""A passphrase comes from a file or the keyboard, and is judged before the work begins."""

from pathlib import Path

import pytest
from pipeline_stand_in import PipelineStandIn

from packets.base.secret import Secret
from packets.cli.entry import run
from packets.cli.surroundings import Surroundings
from packets.recipe.shelf import find_recipe

GOOD = "gravel onion drummer slate"
OTHER = "gravel onion drummer plates"


@pytest.fixture
def recipe_that(tmp_path):
    """Writes the shipped client copy with another way to the passphrase; gives its path."""

    def write(way: str) -> str:
        text = Path(find_recipe("client-copy").path).read_text(encoding="utf-8")
        kept = text[: text.index("[seal]")] if "[seal]" in text else text + "\n"
        changed = tmp_path / f"{way}.toml"
        changed.write_text(f'{kept}[seal]\npassphrase = "{way}"\n', encoding="utf-8")
        return str(changed)

    return write


@pytest.fixture
def built(tmp_path):
    """Builds with typed answers; gives the status and the passphrase that the pipeline got."""

    def build(*arguments: str, typed: tuple[str, ...] = ()):
        pipeline = PipelineStandIn()
        answers = iter(typed)
        world = Surroundings(pipeline=lambda: pipeline, ask=lambda question: next(answers))
        status = run(["build", str(tmp_path), *arguments], world)
        return status, pipeline.asked[0].passphrase if pipeline.asked else "not built"

    return build


@pytest.fixture
def password_file(tmp_path):
    def write(text: bytes, mode: int = 0o600) -> str:
        file = tmp_path / "passphrase.txt"
        file.write_bytes(text)
        file.chmod(mode)
        return str(file)

    return write


def test_a_recipe_that_generates_asks_nobody(built, recipe_that):
    assert built("--recipe", recipe_that("generate")) == (0, None)


def test_a_recipe_that_asks_asks_twice(built, recipe_that):
    assert built("--recipe", recipe_that("ask"), typed=(GOOD, GOOD)) == (0, Secret(GOOD))


@pytest.mark.parametrize("typed", [(GOOD, OTHER), ("", ""), ("short one", "short one")])
def test_two_different_or_weak_answers_build_nothing(built, recipe_that, typed, capsys):
    assert built("--recipe", recipe_that("ask"), typed=typed) == (2, "not built")
    told = capsys.readouterr()
    assert "gravel" not in told.out + told.err


def test_a_file_answers_for_the_keyboard(built, recipe_that, password_file):
    file = password_file(GOOD.encode() + b"\r\nsecond line\n")
    for way in ("ask", "file", "generate"):
        arguments = ("--recipe", recipe_that(way), "--password-file", file)
        assert built(*arguments) == (0, Secret(GOOD))


def test_a_recipe_that_wants_a_file_says_so_before_any_work(built, recipe_that, capsys):
    assert built("--recipe", recipe_that("file")) == (2, "not built")
    assert "--password-file" in capsys.readouterr().err


def test_a_file_that_others_may_read_is_refused(built, recipe_that, password_file, capsys):
    file = password_file(GOOD.encode(), mode=0o644)
    arguments = ("--recipe", recipe_that("file"), "--password-file", file)
    assert built(*arguments) == (2, "not built")
    assert "chmod 600" in capsys.readouterr().err


def test_an_agency_packet_takes_no_passphrase(built):
    assert built("--recipe", "efile-attachments") == (0, None)


@pytest.mark.parametrize("command", ["mask", "check"])
def test_a_locked_source_is_opened_from_the_file(command, tmp_path, password_file):
    source = tmp_path / "in.pdf"
    source.write_bytes(b"%PDF-")
    pipeline = PipelineStandIn()
    targets = [str(tmp_path / "out.pdf")] if command == "mask" else []
    arguments = [command, str(source), *targets, "--password-file", password_file(b"open me\n")]
    assert run(arguments, Surroundings(pipeline=lambda: pipeline, checking=lambda: pipeline)) == 0
    assert Secret("open me") in pipeline.asked[0]


def test_a_masked_copy_never_replaces_a_file_that_is_there(tmp_path, capsys):
    source = tmp_path / "in.pdf"
    source.write_bytes(b"%PDF-")
    pipeline = PipelineStandIn()
    arguments = ["mask", str(source), str(source)]
    assert run(arguments, Surroundings(pipeline=lambda: pipeline, checking=lambda: pipeline)) == 2
    assert pipeline.asked == []
    assert "another name" in capsys.readouterr().err

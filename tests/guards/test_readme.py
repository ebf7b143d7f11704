"""What README.md says is so: commands, samples, tables."""

import os
import re
import shlex
from pathlib import Path

import click
import pytest

from packets.base.errors import ExitStatus
from packets.base.limits import DEFAULT_LIMITS
from packets.cli.commands import COMMANDS, packets
from packets.cli.outcome import OUTCOME_WORDS
from packets.intake.engagement import EngagementFile, engagement_faults
from packets.intake.identifiers_file import IdentifiersFile
from packets.intake.office import OfficeFile
from packets.recipe.loader import load_file
from packets.recipe.shelf import load_recipe, recipe_names
from packets.sealing.retention import RULES as RETENTION
from packets.signatures.grant import GrantsFile
from packets.signatures.rules import RULES

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
CI = (ROOT / ".ci" / "run").read_text(encoding="utf-8")


def fenced(language):
    return re.findall(rf"^```{language}\n(.*?)^```", README, re.MULTILINE | re.DOTALL)


def section(title):
    return README.split(f"\n## {title}\n", 1)[1].split("\n## ", 1)[0]


def table_rows(text):
    rows = [line.strip("|").split("|") for line in text.splitlines() if line.startswith("|")]
    return [[cell.strip() for cell in row] for row in rows[2:]]


SHELL_LINES = [line for block in fenced("sh") for line in block.splitlines() if line]
BUILD_LINE, TEST_LINE = SHELL_LINES[:2]
COMMAND_LINES = [line for line in SHELL_LINES if line.startswith("packets ")]


def test_the_job_stands_in_one_paragraph_at_the_top():
    title, paragraph, first_command = README.split("\n\n")[:3]
    assert title == "# packets"
    assert len(paragraph.split()) > 60
    assert first_command.endswith(":")


def test_the_two_commands_are_one_line_each_and_need_only_python_and_pip():
    for line in (BUILD_LINE, TEST_LINE):
        steps = line.split(" && ")
        assert steps[0] == "python3 -m venv .venv"
        assert all(step.startswith(".venv/bin/") for step in steps[1:])
    assert BUILD_LINE.endswith("packets build sample_pdfs/joint-return --recipe client-copy")


def test_the_ci_script_ends_with_the_very_test_command_of_the_readme():
    tests = TEST_LINE.split(" && ")[-1].removeprefix(".venv/bin/")
    assert CI.rstrip().splitlines()[-1] == f"step {tests}"
    install = TEST_LINE.split(" && ")[1].removeprefix(".venv/bin/")
    assert f"step {install}" in CI


def test_the_ci_script_is_strict_and_may_be_run():
    assert os.access(ROOT / ".ci" / "run", os.X_OK)
    assert "\nset -euo pipefail\n" in CI
    for tool in ("ruff check", "ruff format --check", "mypy", "lint-imports"):
        assert f"step {tool}\n" in CI


def command_of(words):
    """The click command that a README line calls, through its groups."""
    found: click.Command = packets
    for word in words:
        if not isinstance(found, click.Group):
            break
        step = found.get_command(click.Context(found), word)
        assert step is not None, f"there is no command {word}"
        found = step
    return found


@pytest.mark.parametrize("line", COMMAND_LINES)
def test_a_command_line_of_the_readme_has_only_options_that_exist(line):
    words = shlex.split(line)[1:]
    known = {option for parameter in command_of(words).params for option in parameter.opts}
    for word in words:
        assert not word.startswith("-") or word in known


def all_commands():
    for name in COMMANDS:
        command = command_of([name])
        yield name, command
        if isinstance(command, click.Group):
            yield from ((f"{name} {sub}", found) for sub, found in command.commands.items())


@pytest.mark.parametrize(("name", "command"), list(all_commands()))
def test_every_command_and_option_has_help_and_a_place_in_the_readme(name, command):
    assert command.help
    assert f"packets {name}" in README
    for parameter in command.params:
        if isinstance(parameter, click.Option):
            assert parameter.help, parameter.name


@pytest.mark.parametrize(("name", "entry"), list(COMMANDS.items()))
def test_the_line_in_the_overview_is_the_one_the_command_gives_itself(name, entry):
    assert command_of([name]).short_help == entry.line


@pytest.mark.parametrize("block", fenced("toml"))
def test_a_sample_file_of_the_readme_has_no_fault(block, tmp_path):
    name = block.splitlines()[0].removeprefix("# ")
    file = tmp_path / Path(name).name
    file.write_text(block, encoding="utf-8")
    match file.name:
        case "engagement.toml":
            assert load_file(file, EngagementFile, engagement_faults).document
        case "identifiers.toml":
            assert load_file(file, IdentifiersFile).identifier
        case "office.toml":
            assert load_file(file, OfficeFile).office.signatures
        case "grants.toml":
            assert load_file(file, GrantsFile).grant
        case _:
            assert load_recipe(file).recipe.name == file.stem


def test_every_exit_status_is_in_the_table():
    rows = table_rows(section("Exit statuses"))
    told = {(int(row[0]), row[1].strip("`")) for row in rows}
    assert told == {(int(status), OUTCOME_WORDS[status]) for status in ExitStatus}


def test_every_limit_is_in_the_table_with_its_figure():
    limits, mib = DEFAULT_LIMITS, 1024 * 1024
    figures = [
        f"{limits.file_bytes // mib} MiB",
        f"{limits.pages:,}",
        f"{limits.picture_pixels:,}",
        f"under {limits.picture_side:,}",
        f"{limits.stream_bytes // mib} MiB",
        f"{limits.nesting:,}",
        f"{limits.objects:,}",
        f"{limits.annotations:,}",
    ]
    assert [row[1] for row in table_rows(section("Limits"))] == figures
    assert len(figures) == len(vars(limits))


def test_every_shipped_recipe_is_in_the_table():
    told = {row[0].strip("`") for row in table_rows(section("Recipes"))}
    assert told == set(recipe_names())


def test_every_rule_of_signing_is_in_the_table_with_its_source():
    told = [(row[0], row[2]) for row in table_rows(section("Signatures"))]
    assert told == [(rule.name, rule.source) for rule in RULES]


def test_every_rule_of_retention_is_in_the_table_with_its_source():
    rows = table_rows(section("Proof and retention").split("**Retention.**")[1])
    assert [row[2] for row in rows] == [rule.source for rule in RETENTION]

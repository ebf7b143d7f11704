"""Each way to end has its status, and a message that says what, where and what to do next."""

import errno
from dataclasses import replace

import pytest
from pipeline_stand_in import PipelineStandIn, a_sighting, a_verdict, held_report, released_report

from packets.base.errors import (
    Damaged,
    DeliveryFailed,
    Fault,
    FileFaults,
    Held,
    Locked,
    OurFault,
    OverLimit,
    PacketsError,
    UsageError,
)
from packets.cli.entry import run
from packets.cli.surroundings import Surroundings

SECRET = "gravel-onion-666-12-3456"


def status_of(arguments, tmp_path, **case):
    pipeline = PipelineStandIn(**case)
    filled = [str(tmp_path) if word == "CLIENT" else word for word in arguments]
    return run(filled, Surroundings(pipeline=lambda: pipeline, checking=lambda: pipeline))


BUILD = ["build", "CLIENT", "--recipe", "client-copy"]


def test_a_released_packet_is_status_0(tmp_path):
    assert status_of(BUILD, tmp_path) == 0


def test_a_held_packet_is_status_1_and_says_that_nothing_was_released(tmp_path, capsys):
    assert status_of(BUILD, tmp_path, report=held_report()) == 1
    told = capsys.readouterr()
    assert "Nothing was released" in told.out
    assert "nothing was released" in told.err


def test_a_plan_that_would_stop_is_status_1(tmp_path):
    assert status_of(["plan", *BUILD[1:]], tmp_path, stops=("page 3 is unknown",)) == 1
    assert status_of(["plan", *BUILD[1:]], tmp_path) == 0


def test_one_held_file_among_clean_ones_is_status_1(tmp_path):
    verdicts = (a_verdict(), a_verdict(a_sighting()), a_verdict())
    assert status_of(["check", "CLIENT"], tmp_path, verdicts=verdicts) == 1


def test_nothing_to_check_is_not_clean(tmp_path):
    assert status_of(["check", "CLIENT"], tmp_path, verdicts=()) == 1


def test_something_unread_alone_is_not_clean(tmp_path):
    assert status_of(["check", "CLIENT"], tmp_path, verdicts=(a_verdict(unread=("page 2",)),)) == 1


@pytest.mark.parametrize(
    ("error", "status"),
    [
        (Held("a number would go out", where="page 3"), 1),
        (UsageError("no such thing", where="recipe"), 2),
        (FileFaults("recipe.toml", (Fault("line 3, part", "unknown key"),)), 2),
        (Damaged("it does not open", where="documents/a.pdf"), 3),
        (Locked("it asks for a password", where="documents/a.pdf"), 3),
        (OverLimit("too many pages", where="documents/a.pdf"), 3),
        (DeliveryFailed("the server said no", where="server"), 4),
        (OurFault("a promise did not hold", where="masking"), 70),
    ],
)
def test_each_error_of_ours_keeps_its_status_and_tells_place_and_remedy(
    error: PacketsError, status, tmp_path, capsys
):
    assert status_of(BUILD, tmp_path, error=error) == status
    told = capsys.readouterr()
    assert told.out == ""
    for words in (error.what, error.where, error.remedy):
        assert words in told.err


@pytest.mark.parametrize(
    ("error", "status", "words"),
    [
        (KeyboardInterrupt(), 1, "stopped by you"),
        (EOFError(), 1, "stopped by you"),
        (MemoryError(), 3, "ran out of memory"),
        (OSError(errno.ENOSPC, "x", "/disk/a.pdf"), 3, "no room left"),
        (PermissionError(errno.EACCES, "x", "/disk/a.pdf"), 3, "may not read or write"),
        (FileNotFoundError(errno.ENOENT, "x", "/disk/a.pdf"), 3, "/disk/a.pdf"),
        (OSError("without a number"), 3, "refused to go on"),
    ],
)
def test_the_system_and_the_person_are_told_apart_from_our_faults(
    error, status, words, tmp_path, capsys
):
    assert status_of(BUILD, tmp_path, error=error) == status
    assert words in capsys.readouterr().err


@pytest.mark.parametrize("error", [ValueError(SECRET), RuntimeError(SECRET), SystemExit(SECRET)])
def test_a_fault_of_ours_names_class_and_place_but_never_a_value(error, tmp_path, capsys):
    assert status_of(BUILD, tmp_path, error=error) == 70
    told = capsys.readouterr()
    assert type(error).__name__ in told.err
    assert "packets/cli/build.py:" in told.err
    assert "gravel" not in told.err + told.out
    assert "3456" not in told.err + told.out
    assert "Traceback" not in told.err


def test_a_fault_while_the_summary_is_shown_is_told_like_any_other(tmp_path, capsys):
    assert status_of(BUILD, tmp_path, report=replace(released_report(), facts=None)) == 70
    assert "AttributeError" in capsys.readouterr().err


@pytest.mark.parametrize(
    "arguments",
    [
        [],
        ["no-such-command"],
        ["build"],
        ["build", "CLIENT"],
        ["build", "no-such-folder", "--recipe", "client-copy"],
        ["build", "CLIENT", "--recipe", "no-such-recipe"],
        ["build", "CLIENT", "--recipe", "client-copy", "--no-such-option"],
        ["check"],
        ["recipe", "no-such-command"],
        ["ledger"],
    ],
)
def test_a_wrong_command_line_is_status_2_and_names_a_way_on(arguments, tmp_path, capsys):
    assert status_of(arguments, tmp_path) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert "Next:" in told.err


def test_a_stray_word_is_not_repeated_because_it_may_be_a_passphrase(tmp_path, capsys):
    assert status_of([*BUILD, "hunter-two-words"], tmp_path) == 2
    assert "hunter" not in capsys.readouterr().err


@pytest.mark.parametrize("arguments", [["--help"], ["--version"], ["build", "-h"]])
def test_help_and_version_are_status_0(arguments, tmp_path, capsys):
    assert status_of(arguments, tmp_path) == 0
    assert "packets" in capsys.readouterr().out

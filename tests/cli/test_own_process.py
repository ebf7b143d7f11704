"""What only a process of its own can show: pipes, terminals, noise, and being stopped."""

import json
import os
import pty
import shlex
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from pipeline_stand_in import WORDS

DRIVER = Path(__file__).with_name("run_with_stand_in.py")


def command(case, *arguments):
    return [sys.executable, str(DRIVER), case, *map(str, arguments)]


def plain_environment(**more):
    kept = {key: value for key, value in os.environ.items() if key != "COLUMNS"}
    return {**kept, "TERM": "xterm-256color", **more}


def on_terminal(*words, **environment):
    """Run with a terminal on all three streams; what was shown, and the status."""
    parent, child = pty.openpty()
    with subprocess.Popen(
        words, stdin=child, stdout=child, stderr=child, env=plain_environment(**environment)
    ) as process:
        os.close(child)
        shown = b""
        while True:
            try:
                piece = os.read(parent, 65536)
            except OSError:  # Linux says EIO when the other side is closed
                break
            if not piece:
                break
            shown += piece
    os.close(parent)
    return shown.decode(), process.returncode


def build(client, *more):
    return ["build", client, "--recipe", "client-copy", *more]


def test_what_libraries_print_never_mixes_with_the_document(tmp_path):
    run = subprocess.run(
        command("noisy", "inventory", tmp_path, "--json"), capture_output=True, check=True
    )
    assert len(json.loads(run.stdout)["pages"]) == 4
    assert b"noise from Python" in run.stderr
    assert b"noise from C" in run.stderr


def test_the_passphrase_is_shown_once_on_a_terminal(tmp_path):
    shown, status = on_terminal(*command("released", *build(tmp_path)))
    assert status == 0
    assert shown.count(WORDS) == 1


@pytest.mark.parametrize("forced", [{}, {"FORCE_COLOR": "1"}])
def test_the_passphrase_never_goes_into_a_pipe(tmp_path, forced):
    run = subprocess.run(
        command("released", *build(tmp_path)),
        capture_output=True,
        check=True,
        env=plain_environment(**forced),
    )
    assert WORDS.encode() not in run.stdout + run.stderr


def test_the_passphrase_of_a_held_packet_is_not_shown(tmp_path):
    shown, status = on_terminal(*command("held", *build(tmp_path)))
    assert status == 1
    assert WORDS not in shown


def test_a_pipe_gets_no_colour_and_no_progress(tmp_path):
    run = subprocess.run(
        command("released", *build(tmp_path)),
        capture_output=True,
        check=True,
        env=plain_environment(),
    )
    assert b"\x1b" not in run.stdout
    assert run.stderr == b""


def test_no_color_is_respected_on_a_terminal(tmp_path):
    colour = "\x1b[1;32m"
    assert colour in on_terminal(*command("released", *build(tmp_path)))[0]
    assert colour not in on_terminal(*command("released", *build(tmp_path)), NO_COLOR="1")[0]


def test_a_reader_that_leaves_early_changes_nothing(tmp_path):
    with subprocess.Popen(
        command("released", *build(tmp_path)), stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as process:
        process.stdout.close()
        told = process.stderr.read()
    assert process.returncode == 0
    assert told == b""


def test_a_summary_that_cannot_be_written_is_not_a_success(tmp_path):
    for option in ([], ["--json"]):
        with Path("/dev/full").open("wb") as full:
            run = subprocess.run(
                command("released", *build(tmp_path, *option)),
                stdout=full,
                stderr=subprocess.PIPE,
                check=False,
            )
        assert run.returncode == 3
        assert b"no room left" in run.stderr
        assert b"Traceback" not in run.stderr


def test_a_closed_standard_output_does_not_stop_a_run(tmp_path):
    words = shlex.join(command("released", *build(tmp_path, "--json")))
    run = subprocess.run(["sh", "-c", f"{words} >&-"], stderr=subprocess.PIPE, check=False)
    assert run.returncode == 0
    assert run.stderr == b""


def test_what_engines_log_and_warn_about_is_not_shown(tmp_path):
    script = (
        "import sys, logging, warnings; from packets.cli import entry, new_folder\n"
        "def noisy(path):\n"
        "    logging.getLogger('engine').error('secret'); warnings.warn('secret')\n"
        "    return ()\n"
        "from packets.cli import new; new.new_client = noisy\n"
        "sys.argv = ['packets', 'new', sys.argv[1]]\n"
        "sys.exit(entry.main())"
    )
    run = subprocess.run(
        [sys.executable, "-c", script, str(tmp_path)], capture_output=True, check=True
    )
    assert run.stderr == b""
    assert b"secret" not in run.stdout


def test_ctrl_c_is_held_and_says_so_without_a_traceback(tmp_path):
    with subprocess.Popen(
        command("slow", "inventory", tmp_path, "--json"),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    ) as process:
        assert process.stderr.readline() == b"begun\n"
        process.send_signal(signal.SIGINT)
        out, told = process.communicate(timeout=60)
    assert process.returncode == 1
    assert json.loads(out)["error"]["kind"] == "Stopped"
    assert b"stopped by you" in told
    assert b"Traceback" not in told


def test_letters_that_the_pipe_cannot_carry_do_not_stop_a_run(tmp_path):
    folder = tmp_path / "Größe"
    folder.mkdir()
    run = subprocess.run(
        command("released", "new", folder),
        capture_output=True,
        check=True,
        env=plain_environment(PYTHONIOENCODING="ascii"),
    )
    assert b"Gr\\xf6\\xdfe" in run.stdout

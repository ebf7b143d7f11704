"""The door of the command line: the one place where an error becomes an exit status."""

from __future__ import annotations

import contextlib
import json
import os
import sys
import warnings
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click
from click.exceptions import Exit, NoArgsIsHelpError

from packets.base.errors import NO_ROOM, ExitStatus, FileFaults, PacketsError
from packets.base.own_place import last_place_of_ours
from packets.cli.commands import packets
from packets.cli.failure import Failure
from packets.cli.outcome import Outcome, envelope
from packets.cli.plain_text import plain
from packets.cli.progress_line import progress_on_terminal
from packets.cli.surroundings import Surroundings

if TYPE_CHECKING:
    from rich.console import Console

ECHOES = (click.BadParameter, click.NoSuchOption, click.BadOptionUsage)
"""Usage errors whose message names only options, commands and paths. Others repeat stray
arguments, and a stray argument may be a passphrase."""


def main() -> int:
    """What the `packets` script calls; returns the exit status."""
    # What engines warn about may repeat what they read from a page; so may what they log,
    # which is kept quiet with the first command that is loaded.
    warnings.simplefilter("ignore")
    return run(sys.argv[1:])


def run(arguments: Sequence[str], surroundings: Surroundings | None = None) -> int:
    """Run one command line and return its exit status. Raises nothing.

    `surroundings` lets a test hand in its own pipeline and its own keyboard.
    """
    prepare_streams()
    as_json = wants_json(arguments)
    with contextlib.ExitStack() as stack:
        if as_json:
            stack.enter_context(standard_output_reserved())
        if surroundings is None:
            surroundings = Surroundings(progress=stack.enter_context(progress_on_terminal()))
        result = result_of(arguments, surroundings)
    if isinstance(result, int):
        return result
    try:
        return tell(result, as_json=as_json)
    except BaseException as error:  # noqa: BLE001, RUF100 - nothing may end in a traceback
        return tell_failure(failure_of(error))


def wants_json(arguments: Sequence[str]) -> bool:
    """Whether `--json` stands among the options, even if the rest does not parse."""
    options = list(arguments)
    return "--json" in (options[: options.index("--")] if "--" in options else options)


def result_of(arguments: Sequence[str], surroundings: Surroundings) -> Outcome | Failure | int:
    """Run the command; an error comes back as a `Failure`, help as its exit status."""
    try:
        with packets.make_context("packets", list(arguments), obj=surroundings) as context:
            outcome = packets.invoke(context)
    except Exit as end:
        return end.exit_code
    except BaseException as error:  # noqa: BLE001, RUF100 - nothing may end in a traceback
        return failure_of(error)
    assert isinstance(outcome, Outcome)
    return outcome


def failure_of(error: BaseException) -> Failure:
    """Turn any error into an exit status and words that hold none of its values."""
    kind = type(error).__name__
    if isinstance(error, PacketsError):
        faults = error.faults if isinstance(error, FileFaults) else ()
        return Failure(error.exit_code, kind, error.what, error.where, error.remedy, faults)
    if isinstance(error, click.ClickException):
        return _usage_failure(error)
    if isinstance(error, KeyboardInterrupt | click.Abort | EOFError):
        return Failure(
            ExitStatus.HELD,
            "Stopped",
            "stopped by you before the end",
            "",
            "Nothing half-done carries a final name. Run the same command again.",
        )
    if isinstance(error, MemoryError):
        return Failure(
            ExitStatus.REFUSED,
            kind,
            "this machine ran out of memory",
            "",
            "Nothing was released. Close other programs, or split the largest file, and try again.",
        )
    if isinstance(error, OSError):
        return _system_failure(error)
    return Failure(
        ExitStatus.FAULT,
        kind,
        f"our own fault ({kind})",
        last_place_of_ours(error),
        PacketsError.default_remedy,
    )


def _usage_failure(error: click.ClickException) -> Failure:
    context = error.ctx if isinstance(error, click.UsageError) else None
    path = context.command_path if context else "packets"
    if isinstance(error, ECHOES):
        what = error.format_message().rstrip(".")
    elif isinstance(error, NoArgsIsHelpError):
        what = "a command is missing"
    else:
        what = "there is a word on the command line that this command does not take"
    remedy = f"`{path} --help` tells more."
    if context is not None:
        remedy = f"Write `{' '.join(context.get_usage().split()[1:])}`; {remedy}"
    return Failure(ExitStatus.USAGE, "UsageError", what, path, remedy)


def _system_failure(error: OSError) -> Failure:
    where = str(error.filename) if isinstance(error.filename, str | Path) else ""
    what = os.strerror(error.errno).lower() if error.errno else "the system refused to go on"
    remedy = "Nothing was released. Look at the place named above and run the command again."
    if error.errno in NO_ROOM:
        what = "there is no room left on the disk"
        remedy = "Nothing was released. Make room and run the same command again."
    elif isinstance(error, PermissionError):
        what = "this account may not read or write here"
        remedy = "Nothing was released. Give yourself access to the place named above."
    return Failure(ExitStatus.REFUSED, type(error).__name__, what, where, remedy)


def tell(result: Outcome | Failure, *, as_json: bool) -> int:
    """Print a result once, in the form that was asked for; return its exit status."""
    if as_json:
        try:
            text = json_text(result)
        except Exception as error:  # noqa: BLE001, RUF100 - must be answered in JSON as well
            result = failure_of(error)
            text = json_text(result)
        with reader_may_leave():
            sys.stdout.write(text)
    if isinstance(result, Failure):
        return tell_failure(result)
    if not as_json:
        with reader_may_leave():
            result.show(_console())
    if result.note and (as_json or not sys.stdout.isatty()):
        with reader_may_leave():
            _console(stderr=True).print(plain(result.note), soft_wrap=True)
    return int(result.status)


def tell_failure(failure: Failure) -> int:
    """Print a failure on standard error; return its exit status."""
    with contextlib.suppress(OSError), reader_may_leave():
        failure.show(_console(stderr=True))
    return int(failure.status)


def json_text(result: Outcome | Failure) -> str:
    """The one JSON document; ASCII only, so that any pipe can carry it."""
    document = envelope(result.status, result.document())
    return json.dumps(document, indent=2, ensure_ascii=True) + "\n"


def prepare_streams() -> None:
    """Let no odd character and no closed stream stop a run."""
    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:
            # Open until the process ends, as the stream that it stands for would be.
            setattr(sys, name, Path(os.devnull).open("w", encoding="utf-8"))  # noqa: SIM115
        stream = getattr(sys, name)
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")


def _console(*, stderr: bool = False) -> Console:
    from packets.cli.patient_console import patient_console  # noqa: PLC0415 - help needs none

    return patient_console(stderr=stderr)


@contextlib.contextmanager
def standard_output_reserved() -> Iterator[None]:
    """Send what libraries print, from Python or from C, to standard error for a while."""
    with contextlib.redirect_stdout(sys.stderr), contextlib.ExitStack() as stack:
        with contextlib.suppress(OSError):  # standard output or error may be closed
            kept = os.dup(1)
            stack.callback(os.close, kept)
            stack.callback(os.dup2, kept, 1)
            os.dup2(2, 1)
        yield


@contextlib.contextmanager
def reader_may_leave() -> Iterator[None]:
    """A reader that closes the pipe early changes nothing about what was done.

    Any other trouble with writing, such as a full disk, goes on as `OSError`.
    """
    try:
        yield
        sys.stdout.flush()
    except OSError as error:
        # Python flushes again at exit; give it somewhere to flush to.
        sink = os.open(os.devnull, os.O_WRONLY)
        with contextlib.suppress(OSError, ValueError):
            os.dup2(sink, sys.stdout.fileno())
        os.close(sink)
        if not isinstance(error, BrokenPipeError):
            raise

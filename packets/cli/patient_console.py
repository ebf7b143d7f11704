"""The console on which results and failures are shown to a person."""

from rich.console import Console


class _PatientConsole(Console):
    """A console that leaves it to the door what a closed pipe means."""

    def on_broken_pipe(self) -> None:
        raise BrokenPipeError


def patient_console(*, stderr: bool = False) -> Console:
    """One for standard output or standard error. A closed pipe raises `BrokenPipeError`."""
    return _PatientConsole(stderr=stderr, highlight=False, markup=False, emoji=False)

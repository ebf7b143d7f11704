"""Client folders and finished packets that tests of several rooms share."""

import os
import signal
from collections.abc import Callable
from pathlib import Path

import pytest
from finished_packets import FinishedPacket, finished
from office_folders import sample_copy, small_client


def pytest_configure() -> None:
    """Let processes that tests start hear Ctrl-C, also where this run was started deaf to it.

    A shell that puts a job into the background makes it, and all it starts, ignore SIGINT.
    """
    if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
        signal.signal(signal.SIGINT, signal.default_int_handler)


@pytest.fixture
def sample(tmp_path: Path) -> Callable[[str], Path]:
    """A fresh copy of a sample folder, by its name."""
    return lambda name: sample_copy(name, tmp_path / "clients" / name)


@pytest.fixture
def client(tmp_path: Path) -> Path:
    """A fresh small client folder: a letter and a two-page return, all text."""
    return small_client(tmp_path / "client")


@pytest.fixture(scope="session")
def shared_root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One folder for all test processes of a run, for what is made once (`once`)."""
    base = tmp_path_factory.getbasetemp()
    return (base.parent if os.environ.get("PYTEST_XDIST_TESTRUNUID") else base) / "made-once"


@pytest.fixture(scope="session")
def packet_of(shared_root: Path) -> Callable[..., FinishedPacket]:
    """The packet of a sample by sample, recipe and copy; only to be looked at."""
    return lambda *wanted: finished(shared_root, *wanted)

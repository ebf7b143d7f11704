"""Client folders and finished packets that tests of several rooms share."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from finished_packets import FinishedPacket, finished
from office_folders import sample_copy, small_client


@pytest.fixture
def sample(tmp_path: Path) -> Callable[[str], Path]:
    """A fresh copy of a sample folder, by its name."""
    return lambda name: sample_copy(name, tmp_path / "clients" / name)


@pytest.fixture
def client(tmp_path: Path) -> Path:
    """A fresh small client folder: a letter and a two-page return, all text."""
    return small_client(tmp_path / "client")


@pytest.fixture(scope="session")
def packet_of(tmp_path_factory: pytest.TempPathFactory) -> Callable[..., FinishedPacket]:
    """The packet of a sample by sample, recipe and copy; only to be looked at."""
    base = tmp_path_factory.getbasetemp()
    # Test processes of one run share a folder, so that each packet is built once.
    root = base.parent if os.environ.get("PYTEST_XDIST_TESTRUNUID") else base
    return lambda *wanted: finished(root / "finished-packets", *wanted)

"""Garbage waits while modules are loaded, and is looked for again afterwards."""

import gc
import subprocess
import sys
import weakref

import pytest

from packets.base.loading import loading


class Ring:
    """Holds itself, so that only a look for garbage frees it."""

    def __init__(self):
        self.itself = self


@pytest.fixture(autouse=True)
def collector():
    """The collector as it was; nothing stays out of its sight because of these tests."""
    yield
    gc.unfreeze()
    gc.enable()


@pytest.fixture
def unknown(tmp_path, monkeypatch):
    """The name of a module that nobody has loaded yet."""
    (tmp_path / "a_module_to_load.py").write_text("KEPT = [[]]\n", encoding="utf-8")
    monkeypatch.syspath_prepend(tmp_path)
    yield "a_module_to_load"
    sys.modules.pop("a_module_to_load", None)


def test_no_garbage_is_looked_for_meanwhile_and_again_afterwards():
    with loading():
        assert not gc.isenabled()
    assert gc.isenabled()


def test_a_collector_that_was_off_stays_off():
    gc.disable()
    with loading():
        pass
    assert not gc.isenabled()


def test_it_is_on_again_after_a_module_that_cannot_be_loaded():
    with pytest.raises(ModuleNotFoundError), loading():
        __import__("no_such_module_anywhere")
    assert gc.isenabled()


def test_what_was_loaded_is_no_longer_looked_at(unknown):
    with loading():
        kept = __import__(unknown).KEPT
    assert not any(one is kept for one in gc.get_objects())


def test_where_nothing_was_loaded_nothing_is_kept_out_of_sight():
    before = gc.get_freeze_count()
    with loading():
        import gc as known  # noqa: F401
    assert gc.get_freeze_count() == before


def test_what_becomes_garbage_afterwards_is_found(unknown):
    with loading():
        __import__(unknown)
    ring = Ring()
    alive = weakref.ref(ring)
    del ring
    gc.collect()
    assert alive() is None


def test_one_inside_the_other_does_not_end_the_outer_one():
    with loading():
        with loading():
            pass
        assert not gc.isenabled()
    assert gc.isenabled()


@pytest.mark.parametrize(
    "load",
    [
        "from packets.cli.surroundings import real_pipeline; real_pipeline()",
        "from packets.cli.surroundings import real_checking; real_checking()",
        "from packets.cli.commands import packets; packets.get_command(None, 'build')",
    ],
)
def test_commands_and_stations_are_loaded_that_way(load):
    script = f"import gc; {load}; print(gc.isenabled(), gc.get_freeze_count() > 10_000)"
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert run.stdout.split() == ["True", "True"]

"""What makes a packet and what checks it are loaded apart, each without the other's libraries."""

import subprocess
import sys

import pytest

LOADED = """
import importlib, sys
importlib.import_module(sys.argv[1])
print(*sorted(sys.modules))
"""
MAKES, CHECKS = "packets.pipeline", "packets.proving.examine"


def loaded_with(module):
    run = subprocess.run(
        [sys.executable, "-c", LOADED, module], capture_output=True, text=True, check=True
    )
    return set(run.stdout.split())


@pytest.mark.parametrize(
    ("half", "never"),
    [
        (MAKES, ("pypdfium2", "packets.outbound.check", "packets.proving.small_proof")),
        (CHECKS, ("pymupdf", "packets.masking", "packets.assembly", "packets.pipeline")),
    ],
)
def test_one_half_loads_nothing_of_the_other(half, never):
    loaded = loaded_with(half)
    assert half in loaded
    assert not loaded & set(never)

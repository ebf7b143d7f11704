"""Modules are loaded to stay: nothing among them is garbage until the process ends.

Python looks through everything in memory each time so and so much has been made.
While hundreds of modules are loaded it does so again and again, and finds nothing;
so it does once more when the process ends. Both cost as much as a page of work each.
"""

import contextlib
import gc
import sys
from collections.abc import Iterator


@contextlib.contextmanager
def loading() -> Iterator[None]:
    """Load modules in here: garbage waits meanwhile, and is no longer looked for among them.

    What is freed without that look, as nearly everything is, is freed as ever. Where
    nothing was loaded, because it had been before, all stays as it was.
    """
    collected, before = gc.isenabled(), len(sys.modules)
    gc.disable()
    try:
        yield
    finally:
        if len(sys.modules) > before:
            gc.freeze()
        if collected:
            gc.enable()

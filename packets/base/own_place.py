"""Where in our own code an error arose: a place, never a value."""

from pathlib import Path

_OURS = Path(__file__).resolve().parents[1]


def last_place_of_ours(error: BaseException) -> str:
    """File and line of the innermost frame inside `packets`; empty where none is."""
    import traceback  # noqa: PLC0415 - few runs meet a fault of ours

    place = ""
    for frame, line in traceback.walk_tb(error.__traceback__):
        file = Path(frame.f_code.co_filename)
        if file.is_relative_to(_OURS):
            place = f"packets/{file.relative_to(_OURS).as_posix()}:{line}"
    return place

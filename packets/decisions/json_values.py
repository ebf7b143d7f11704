"""Values out of JSON that was written here, taken as what they should be or not at all."""

from packets.base.canonical import Json


def tables(value: Json) -> tuple[dict[str, Json], ...]:
    """The objects of a list."""
    return tuple(one for one in value if isinstance(one, dict)) if isinstance(value, list) else ()


def whole(value: Json) -> int:
    """A whole number; 0 for anything else."""
    return value if isinstance(value, int) and not isinstance(value, bool) else 0


def whole_numbers(value: Json) -> tuple[int, ...]:
    """The whole numbers of a list."""
    return tuple(whole(one) for one in value) if isinstance(value, list) else ()


def points(value: Json) -> tuple[float, ...]:
    """The numbers of a list."""
    if not isinstance(value, list):
        return ()
    return tuple(float(one) for one in value if isinstance(one, (int, float)))

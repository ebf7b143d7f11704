"""A row of figures that nobody reads beside the label of a number holds the packet."""

import pytest
from drawn_run import run
from drawn_samples import outline, page_of, pattern, words

from packets.base.geometry import Box
from packets.identifiers.kinds import Kind
from packets.masking.drawn_cells import Cells, meets_core
from packets.masking.drawn_records import DrawnCell, DrawnFinding


def _signs(count: int, x: float = 210, y: float = 500) -> str:
    """Shapes as tall as type that are no letters of any script."""
    lines = []
    for k in range(count):
        a, w = x + 11 * k, 3 + k * 5 % 4
        lines.append(
            f"{a} {y} m {a + w} {y + 3} {a - 2} {y + 7} {a + w} {y + 10} c "
            f"{a + 7} {y + 6 + k % 3} l {a + 2} {y + 5} l {a + 8} {y + 1} l h f"
        )
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize("label", ["Your social security number", "SSN:", "Account number"])
def test_signs_behind_a_label_are_named_as_unread(label: str) -> None:
    done = run(page_of(words(label, 72, 501) + _signs(9)))
    assert done.shown or done.unread
    assert all("page 1" in place for place in done.unread)


def test_signs_below_a_label_are_named_as_unread() -> None:
    done = run(page_of(words("Social security number", 210, 516) + _signs(9)))
    assert done.shown or done.unread


def test_the_same_signs_elsewhere_hold_nothing_up() -> None:
    done = run(page_of(words("Halden & Orr", 72, 700) + _signs(9)))
    assert done.shown == []
    assert done.unread == ()


def test_what_an_engine_takes_from_a_tile_beside_the_first_is_undone_or_gone() -> None:
    tile = pattern(outline(x=12, y=200) + "f\n", 230)
    done = run(page_of("/Pattern cs /P1 scn 290 300 230 230 re f\n", tile))
    again = run(done.removal.pdf)
    assert done.removal.undone or not again.shown


CELLS = tuple(
    DrawnCell((72.0 + 8 * k, 500.0, 78.0 + 8 * k, 510.0), k < 5, "X" if k < 5 else str(k))
    for k in range(9)
)
FINDING = DrawnFinding(0, Kind.SSN, "XXXXX5678", Box(72, 282, 142, 292), CELLS)


def test_a_shape_in_a_cell_goes_and_the_frame_around_it_stays() -> None:
    cells = Cells([FINDING])
    assert cells.take((72.2, 500.1, 77.8, 509.9))
    assert not cells.take((70.0, 497.0, 80.0, 513.0))
    assert not cells.take((20.0, 505.0, 400.0, 505.5))
    assert cells.met(0) == (True, *[False] * 8)


def test_a_digit_that_stays_is_not_touched() -> None:
    cells = Cells([FINDING])
    assert not cells.take((112.2, 500.1, 117.8, 509.9))
    assert not any(cells.met(0))


def test_one_stroke_over_all_digits_goes_and_the_last_four_are_written_again() -> None:
    cells = Cells([FINDING])
    assert cells.take((72.0, 500.0, 142.0, 510.0))
    assert all(cells.met(0))


def test_ink_that_is_left_in_an_emptied_cell_is_seen() -> None:
    assert meets_core(FINDING, (73.0, 501.0, 77.0, 509.0))
    assert not meets_core(FINDING, (113.0, 501.0, 117.0, 509.0))
    assert not meets_core(FINDING, (20.0, 505.0, 400.0, 505.5))


def test_a_page_with_more_shapes_than_can_be_looked_through_is_named_as_unread() -> None:
    stack = "\n".join(f"72 {100 + k * 0.02:.2f} 4 0.01 re f" for k in range(12_000))
    assert run(page_of(stack)).unread == ("page 1: more drawn shapes than can be looked through",)

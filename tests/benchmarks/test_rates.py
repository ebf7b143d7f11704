"""The one table of rates, and its pictures."""

import pytest
from figures import Figure, table
from PIL import Image
from plots import write_plots
from rates import Sizes, figures

FIGURES = (
    Figure("text return", 10, "pages", "packets build", 2.0, 1.5, 100.0),
    Figure("text return", 10, "pages", "plain script", 0.5, 0.5, 50.0),
    Figure("text return", 1000, "pages", "packets build", 40.0, 38.0, 300.0),
    Figure("text return", 1000, "pages", "plain script", 10.0, 9.5, 90.0),
    Figure("season", 10, "clients", "packets batch, 2 workers", 20.0, 38.0, 200.0),
    Figure("season", 10, "clients", "packets batch, 1 worker", 38.0, 38.0, 200.0),
)


def test_each_baseline_stands_beside_ours_with_the_ratio():
    lines = table(FIGURES).splitlines()
    assert len(lines) == 1 + len(FIGURES)
    assert "4.00, 3.00" in lines[2]
    assert "4.00, 4.00" in lines[4]
    assert "0.53, 1.00" in lines[6]
    assert "30.0" in lines[5]


def test_the_same_figures_come_as_pictures(tmp_path):
    paths = write_plots(tmp_path, FIGURES)
    assert [path.name for path in paths] == [
        "pages-a-second.png",
        "peak-memory.png",
        "season-a-minute.png",
    ]
    for path in paths:
        with Image.open(path) as image:
            assert len(image.getcolors(1 << 20)) > 3


@pytest.mark.benchmark
@pytest.mark.parametrize("subject", ["text", "check", "scans"])
def test_a_rate_is_measured_beside_its_baseline(tmp_path, subject):
    """The season is left to whoever measures: a whole batch, three times over."""
    made = list(figures(tmp_path, Sizes((3,), 1, 3), rounds=1, only=subject))
    assert len({one.who for one in made}) >= 2
    assert table(made)
    assert all(one.seconds > 0 for one in made)

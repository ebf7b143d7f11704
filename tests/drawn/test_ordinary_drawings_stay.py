"""What forms, firms and people draw is no number: it stays as it is and holds nothing up."""

import random
from pathlib import Path

import pymupdf
import pytest
from drawn_run import reader, run
from drawn_samples import outline, page_of, words

from packets.identifiers.kinds import ALL_KINDS, MaskPolicy
from packets.masking.drawn_findings import drawn_findings
from packets.masking.drawn_survey import drawn_survey

FORMS = Path(__file__).parents[3] / "shared" / "forms"
SAMPLES = Path(__file__).parents[2] / "sample_pdfs"
LABEL = words("Your social security number", 72, 520)


def _check_marks() -> str:
    boxes = [f"{72 + 30 * k} 500 9 9 re S {73 + 30 * k} 504 m {75 + 30 * k} 501 l "
             f"{80 + 30 * k} 508 l S" for k in range(8)]  # fmt: skip
    crosses = [f"{72 + 30 * k} 470 m {80 + 30 * k} 478 l {72 + 30 * k} 478 m {80 + 30 * k} 470 l S"
               for k in range(8)]  # fmt: skip
    return "\n".join([*boxes, *crosses]) + "\n"


def _comb() -> str:
    cells = [f"{72 + 14.4 * k} 496 14.4 18 re S" for k in range(9)]
    dividers = [f"{72 + 14.4 * k} 440 m {72 + 14.4 * k} 452 l S" for k in range(10)]
    return "\n".join([*cells, *dividers, "72 440 m 201.6 440 l S"]) + "\n"


def _chart() -> str:
    bars = [f"0.2 0.4 0.7 rg {80 + 24 * k} 400 18 {20 + 11 * (k * 7 % 9)} re f" for k in range(10)]
    grid = [f"0.8 G 72 {400 + 20 * k} m 330 {400 + 20 * k} l S" for k in range(6)]
    line = "0 G 80 410 m " + " ".join(f"{90 + 24 * k} {420 + 9 * (k * 5 % 8)} l" for k in range(9))
    slices = "".join(
        f"0.{k} g 450 450 m {450 + 40 * a} {450 + 40 * b} l {450 + 40 * c} {450 + 40 * d} "
        f"{450 + 40 * c} {450 + 40 * d} {450 + 40 * e} {450 + 40 * f} c h f\n"
        for k, (a, b, c, d, e, f) in enumerate(
            [(1, 0, 0.9, 0.5, 0, 1), (0, 1, -0.9, 0.5, -1, 0), (-1, 0, -0.7, -0.7, 0, -1)]
        )
    )
    return "\n".join([*bars, *grid, line + " S", slices])


def _signature(seed: int = 7) -> str:
    chance = random.Random(seed)
    lines, x = [], 80.0
    for _ in range(4):
        points = [f"{x} {505 + chance.uniform(-4, 4)} m"]
        for _ in range(5):
            near = [x + chance.uniform(0, 9), 505 + chance.uniform(-14, 22)]
            far = [x + chance.uniform(2, 14), 505 + chance.uniform(-10, 18)]
            x += chance.uniform(3, 9)
            end = [x, 505 + chance.uniform(-5, 12)]
            points.append(" ".join(f"{v:.2f}" for v in (*near, *far, *end)) + " c")
        lines.append("0 0 0.5 RG 1.1 w " + " ".join(points) + " S")
        x += 6
    return "\n".join(lines) + "\n"


def _map() -> str:
    chance = random.Random(3)
    lines = []
    for _ in range(60):
        x, y = chance.uniform(72, 500), chance.uniform(200, 480)
        steps = []
        for _ in range(30):
            x, y = x + chance.uniform(-12, 12), y + chance.uniform(-12, 12)
            steps.append(f"{x:.1f} {y:.1f} l")
        lines.append(f"{x:.1f} {y:.1f} m " + " ".join(steps) + " S")
    return "0.4 w " + "\n".join(lines) + "\n"


def _table() -> str:
    across = [f"72 {200 + 14 * k} m 540 {200 + 14 * k} l S" for k in range(20)]
    down = [f"{72 + 39 * k} 200 m {72 + 39 * k} 466 l S" for k in range(13)]
    shaded = [f"0.9 g {72 + 39 * k} 200 39 14 re f" for k in range(12)]
    return "\n".join([*shaded, *across, *down]) + "\n"


def _arrows() -> str:
    return "\n".join(
        f"0 g {72 + 20 * k} 500 m {80 + 20 * k} 504 l {72 + 20 * k} 508 l h f" for k in range(9)
    )


ORDINARY = {
    "check marks": _check_marks(),
    "a comb": _comb(),
    "a chart": _chart(),
    "a signature": _signature(),
    "another signature": _signature(11),
    "a map": _map(),
    "a table": _table(),
    "arrows": _arrows(),
    "a firm's name in outlines": outline("Halden & Orr Tax Office", y=500) + "f\n",
    "a telephone number in outlines": words("Phone", 72, 520) + outline("614-555-0142") + "f\n",
    "an amount in outlines": words("Amount due", 72, 520) + outline("$ 12,480.00") + "f\n",
}


@pytest.mark.parametrize("drawing", ORDINARY.values(), ids=ORDINARY)
def test_it_stays_on_a_plain_page(drawing: str) -> None:
    pdf = page_of(drawing)
    done = run(pdf, policy=MaskPolicy(ALL_KINDS))
    assert done.removal.pdf == pdf
    assert not done.unread


@pytest.mark.parametrize(
    "drawing", [ORDINARY[name] for name in ("check marks", "a comb", "a chart", "a signature",
    "another signature", "a table")]
)  # fmt: skip
def test_it_stays_right_below_the_label_of_a_number(drawing: str) -> None:
    pdf = page_of(LABEL + drawing)
    done = run(pdf)
    assert done.removal.pdf == pdf
    assert not done.unread


@pytest.mark.skipif(not FORMS.is_dir(), reason="the government's forms are not beside the project")
@pytest.mark.parametrize("form", sorted(FORMS.glob("*.pdf")), ids=lambda path: path.name)
def test_real_forms_hold_no_drawn_number_and_nothing_unread(form: Path) -> None:
    _holds_nothing(form)


@pytest.mark.parametrize(
    "paper", sorted(SAMPLES.glob("*/documents/**/*.pdf")), ids=lambda path: path.name
)
def test_the_samples_hold_no_drawn_number_and_nothing_unread(paper: Path) -> None:
    _holds_nothing(paper)


def _holds_nothing(path: Path) -> None:
    ocr = reader()
    with pymupdf.open(path) as document:
        surveys = drawn_survey(document, range(document.page_count), ocr)
    for survey in surveys:
        assert drawn_findings(survey, (), MaskPolicy(ALL_KINDS)) == ()
        assert survey.unread == ()

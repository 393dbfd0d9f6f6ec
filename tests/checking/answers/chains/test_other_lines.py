"""A line that may have been drawn beside other steps to the same answer."""

from __future__ import annotations

import numpy as np
import pytest

from marking.checking.fits import line_room
from tests.checking.answers.chains.test_reaching import SWINGS
from tests.checking.answers.test_judging import Judgement, judgement
from tests.checking.rows import in_table

RIGHT, NEAR_LINE, WRONG, FOLLOWS = Judgement.RIGHT, Judgement.NEAR_LINE, Judgement.WRONG, Judgement.FOLLOWS

DICE = in_table(
    throw="0 1 2 3 4 5 6 7 8 throws",
    before="100 100 82 70 57 48 38 32 27 dice",
    removed="0 18 12 13 9 10 6 5 4 dice",
    left="100 82 70 57 48 38 32 27 23 dice",
)
_LOGARITHMS = ("4.61", "4.41", "4.25", "4.04", "3.87", "3.64", "3.47", "3.30", "3.14")
LOGS = "\n".join(f"ln_N,{row},{value}," for row, value in enumerate(_LOGARITHMS, 1))
"""A gradient of -0.1844, so 3.759 throws; a quarter is left after 7.4."""
LENS = in_table(
    u="24.0 30.0 37.6 45.0 60.0 cm",
    v="39.9 30.1 25.1 22.4 20.0 cm",
    inv_u="0.0417 0.0333 0.0266 0.0222 0.0167 1/cm",
    inv_v="0.0251 0.0332 0.0398 0.0446 0.0500 1/cm",
    f_row="15.0 15.0 15.1 15.0 15.0 cm",
)
"""A mean of 15.02; the line meets an axis at 0.0665 per cm."""


@pytest.mark.parametrize(
    ("columns", "half", "wanted"),
    [
        (LOGS, "3.76", RIGHT),
        (LOGS, "3.80", RIGHT),
        (LOGS, "3.87", NEAR_LINE),
        (LOGS, "4.60", WRONG),
        ("", "3.80", NEAR_LINE),
        ("", "3.70", RIGHT),
    ],
    ids=["on-it", "well-drawn", "drawn-with-care", "not-on-it", "its-column-is-not-written", "the-usual-way"],
)
def test_a_line_beside_a_written_reading_of_the_curve(columns: str, half: str, wanted: Judgement) -> None:
    """Where its columns are in writing a line that is drawn well stands; less well, or without them, it waits."""
    lines = f"{DICE}\n{columns}\nn_second,,7.4,\nn_half,,{half},\n"
    assert judgement("half-life-model", lines, "n_half") is wanted


def test_a_reading_of_the_curve_that_was_not_written_beside_one_that_was() -> None:
    """Half are left after 3.78 throws; read a little off beside a written quarter, it waits."""
    lines = f"{DICE}\nn_second,,8.4,\n"
    assert judgement("half-life-model", f"{lines}n_half,,3.78,\n", "n_half") is RIGHT
    assert judgement("half-life-model", f"{lines}n_half,,3.70,\n", "n_half") is NEAR_LINE
    assert judgement("half-life-model", f"{lines}n_half,,4.2,\n", "n_half") is FOLLOWS


@pytest.mark.parametrize(
    ("f", "wanted"), [("15.0", RIGHT), ("15.3", NEAR_LINE), ("14.7", NEAR_LINE), ("15.8", WRONG), ("14.3", WRONG)]
)
def test_an_intercept_beside_the_mean_of_the_rows(f: str, wanted: Judgement) -> None:
    """A line turned about the middle of its points meets the axis a little off; far off it is no line of theirs."""
    assert judgement("lens-focal-length", f"{LENS}\nf,,{f},cm\n", "f") is wanted


def test_a_gradient_is_no_second_line_beside_itself() -> None:
    """Whoever wrote the gradient down goes on from there: 4π² over it, and no other line is looked for."""
    lines = f"{SWINGS}\ngradient,,4.02,s²/m\ng,,"
    assert judgement("pendulum-g", f"{lines}9.82,m/s²\n", "g") is RIGHT
    assert judgement("pendulum-g", f"{lines}10.05,m/s²\n", "g") is WRONG


@pytest.mark.parametrize(
    ("M_line", "wanted"), [("1.124", RIGHT), ("1.123", RIGHT), ("1.125", RIGHT), ("1.122", WRONG), ("1.127", WRONG)]
)
def test_a_step_in_writing_stands_for_what_cuts_to_it(M_line: str, wanted: Judgement) -> None:
    """0.8896 may be all below 0.8897, of which 1/x is 1.12397; cut off, that is 1.123."""
    columns = in_table(
        m_h="0.020 0.040 0.060 0.080 0.100 kg",
        v_1="0.22 0.30 0.27 0.22 0.31 m/s",
        v_2="0.48 0.71 0.83 0.93 1.07 m/s",
        t="1.70 1.19 1.09 1.04 0.87 s",
        F="0.2000 0.4000 0.6000 0.8000 1.000 N",
        a="0.1529 0.3445 0.5137 0.6826 0.8735 m/s²",
    )
    lines = f"{columns}\ngradient,,0.8896,1/kg\nM_line,,{M_line},kg\n"
    assert judgement("trolley-force", lines, "M_line") in {wanted, FOLLOWS if wanted is RIGHT else wanted}


def test_room_of_a_line_that_turns() -> None:
    """Turned by a twentieth about x = 3, a line of gradient 2 meets the axis 0.3 higher or lower."""
    x = np.array([[1.0, 2, 3, 4, 5]])
    still = line_room("intercept", [2 * x, x], 0.05)
    turned = line_room("intercept", [2 * x, x], 0.05, turns=True)
    assert still is not None
    assert turned is not None
    assert float(still[0][2][0, 0]) == pytest.approx(0.16)  # a fiftieth of the height
    assert [float(turned[0][1][0, 0]), float(turned[0][2][0, 0])] == pytest.approx([-0.3, 0.3])


CELL = in_table(I="0.20 0.40 0.60 0.80 1.00 1.20 A", V="1.44 1.32 1.19 1.08 0.96 0.83 V")
"""Points within 0.01 V of a line that meets the axis at 1.561 V."""


@pytest.mark.parametrize(
    ("emf", "wanted"),
    [("1.56", RIGHT), ("1.54", RIGHT), ("1.58", RIGHT), ("1.53", NEAR_LINE), ("1.50", NEAR_LINE), ("1.44", WRONG)],
    ids=[
        "the line's",
        "low by half a square",
        "high by half a square",
        "lower",
        "axis from 0.10 A",
        "the highest p.d.",
    ],
)
def test_what_is_read_off_an_axis_keeps_no_step_short(emf: str, wanted: Judgement) -> None:
    """Where the line meets an axis is read off: no gradient of two figures stands between."""
    assert judgement("emf-internal-resistance", f"{CELL}\nemf,,{emf},V", "emf") is wanted


@pytest.mark.parametrize(
    ("N", "wanted"),
    [("4424", Judgement.RIGHT), ("4440", Judgement.NEAR), ("4470", Judgement.WRONG)],
    ids=["through-the-density", "past-it-with-a-step-of-three-figures", "by-no-chain"],
)
def test_past_a_step_in_writing_is_asked_about(N: str, wanted: Judgement) -> None:
    """2.000 × 553.0 kept as 1110 and divided by 0.25 goes past the 8.000 that stands there: a person looks."""
    counts = in_table(plants="1 4 3 1 1 1 3 3 3 2 0 -")
    lines = f"{counts}\na,,0.25,m²\nl,,28.8,m\nw,,19.2,m\nmean_plants,,2.000,\nper_area,,8.000,1/m²\nfield,,553.0,m²"
    assert judgement("quadrat", f"{lines}\nN,,{N},", "N") is wanted

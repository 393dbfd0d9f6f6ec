"""First and last, kelvin, concordant readings, and values read off a curve: a right answer stands however rounded."""

from __future__ import annotations

import numpy as np
import pytest

from marking.checking.answers.worked.careful import Care, careful_interval
from marking.checking.answers.worked.evaluation import evaluate
from rubrics.formulas.formula import parse_formula

NAN = np.nan
COOLING = [NAN, 80.0, 74.5, 69.5, NAN, 58.5, NAN]
TITRES = [23.60, 23.15, 23.05, 23.10, NAN]
DICE = [100.0, 84, 69, 58, 49, 40, 34, 28, 23]
"""100 dice, one face in six taken out each throw, as a school table gives them; common practice, no source."""
POTATO = [8.3, 2.9, -5.0, -11.8, -16.9, -20.1]


def exact(text: str, **columns: list[float]) -> float:
    """Return what a formula comes to for one student."""
    return float(evaluate(parse_formula(text).tree, {k: np.array([v], float) for k, v in columns.items()})[0, 0])


def interval(text: str, **columns: list[float]) -> tuple[float, float]:
    """Return where careful answers of one student lie."""
    values = {name: (np.array([column], float),) * 2 for name, column in columns.items()}
    low, high = careful_interval(parse_formula(text), values, Care(figures=np.full((1, 1), 3)))
    return float(low[0, 0]), float(high[0, 0])


def test_first_and_last_pass_over_empty_rows() -> None:
    """A fall from the first temperature to the last: 80.0 - 58.5."""
    assert exact("first(T) - last(T)", T=COOLING) == 21.5


@pytest.mark.parametrize("added", [273, 273.15])
def test_kelvin_may_be_reached_by_273(added: float) -> None:
    """20 °C is 293 K at school and 293.15 K by the SI Brochure, 9th edition, 2.3.1; both stand."""
    low, high = interval("kelvin(T)", T=[20 + 273.15])
    assert low <= 20 + added <= high
    assert not low <= 20 <= high


def test_concordant_titres_leave_the_rough_one_out() -> None:
    """23.15, 23.05 and 23.10 agree to 0.10; any two or three of them may be averaged, the rough one may not."""
    assert exact("concordant(v, w)", v=TITRES, w=[0.1]) == pytest.approx(23.10)
    low, high = interval("concordant(v, w)", v=TITRES, w=[0.1])
    assert (low, high) == pytest.approx((23.075, 23.125))
    assert not low <= np.mean([23.60, 23.15, 23.05, 23.10]) <= high


def test_no_two_titres_that_agree_have_no_mean() -> None:
    """Where nothing is concordant a teacher looks."""
    assert np.isnan(exact("concordant(v, w)", v=[23.6, 23.2, 22.9], w=[0.1]))


@pytest.mark.parametrize("read", [3.7, 3.8, 3.9, 4.0])
def test_half_life_read_off_the_own_curve(read: float) -> None:
    """50 of 100 dice are left at about 3.9 throws; theory gives 3.80."""
    low, high = interval("at(n, N, first(N) / 2)", n=list(range(9)), N=DICE)
    assert low <= read <= high
    assert high - low < 1


@pytest.mark.parametrize("read", [0.25, 0.27, 0.30])
def test_crossing_of_zero_read_off_the_own_curve(read: float) -> None:
    """The changes in mass cross zero at 0.27 mol/dm³; 0.03 either way is a careful read-off."""
    low, high = interval("at(c, d, 0)", c=[0, 0.2, 0.4, 0.6, 0.8, 1.0], d=POTATO)
    assert low <= read <= high
    assert not low <= 0.4 <= high


def test_nothing_is_read_beyond_the_points() -> None:
    """A curve that never reaches the value has no read-off."""
    assert np.isnan(exact("at(n, N, 10)", n=list(range(9)), N=DICE))


def test_least_and_greatest_of_several_pass_over_blanks() -> None:
    """Along a row, a missing reading neither counts nor spoils the others."""
    assert exact("max(a, b, c) - min(a, b, c)", a=[0.83], b=[NAN], c=[0.90]) == pytest.approx(0.07)


@pytest.mark.parametrize("value", np.linspace(1.0, 9.0, 9))
def test_a_smooth_curve_is_read_right_everywhere(value: float) -> None:
    """Points on y = 100 / (1 + x) read exactly at any x lie inside the interval, as does the curve itself."""
    x = np.arange(0.0, 11.0)
    low, high = interval("at(y, x, v)", x=list(x), y=list(100 / (1 + x)), v=[value + 0.5])
    assert low <= 100 / (1.5 + value) <= high

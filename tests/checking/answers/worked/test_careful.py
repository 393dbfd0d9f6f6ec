"""Where the answers of careful students lie: no careful answer outside, and no more room than care needs."""

from __future__ import annotations

import math
from decimal import ROUND_DOWN, ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from marking.checking.answers.worked.careful import DRAWN_SHARE, Care, Interval, careful_interval, hull, is_drawn
from rubrics.formulas.formula import parse_formula

WAYS = (ROUND_HALF_UP, ROUND_HALF_EVEN, ROUND_DOWN)


def exactly(**values: float) -> dict[str, Interval]:
    """Return readings as a formula takes them, for one student with one row."""
    return {name: (np.array([[value]]), np.array([[value]])) for name, value in values.items()}


def room(text: str, /, *, figures: int = 3, **values: float) -> tuple[float, float]:
    """Return where careful answers by the formula *text* lie."""
    care = Care(figures=np.array([[figures]]))
    low, high = careful_interval(parse_formula(text), exactly(**values), care)
    return float(low[0, 0]), float(high[0, 0])


def kept(value: float, figures: int, way: str) -> float:
    """Return *value* as a careful student writes a step down."""
    exact = Decimal(f"{value:.12g}")  # as a calculator shows it: 0.01 × 0.35 is 0.0035, not 0.003499999...
    return float(exact.quantize(Decimal((0, (1,), exact.adjusted() - figures + 1)), rounding=way))


def holds(interval: tuple[float, float], value: float) -> bool:
    """Tell whether *value* is inside, binary noise allowed for."""
    noise = 1e-9 * abs(value)
    return interval[0] - noise <= value <= interval[1] + noise


_reading = st.decimals("0.01", "500", places=2).map(float)
_way = st.sampled_from(WAYS)
_figures = st.integers(3, 6)


@settings(max_examples=50, deadline=None)
@given(_reading, _reading, _reading, _figures, _way)
def test_both_ways_through_a_quotient(E: float, m: float, dT: float, figures: int, way: str) -> None:
    """E ÷ (m × ΔT) may be worked product first, or divided twice in either order, steps kept to 3 figures or more."""
    inside = room("E / (m * dT)", E=E, m=m, dT=dT)
    assert holds(inside, E / (m * dT))
    assert holds(inside, E / kept(m * dT, figures, way))
    assert holds(inside, kept(E / m, figures, way) / dT)
    assert holds(inside, kept(E / dT, figures, way) / m)


@settings(max_examples=50, deadline=None)
@given(_reading, _reading, _reading, st.integers(2, 3), st.integers(2, 3), _way, _way)
def test_every_order_of_a_product(a: float, b: float, c: float, figures: int, more: int, way: str, other: str) -> None:
    """Three factors may be taken in any order, the intermediate product kept with care."""
    inside = room("l * w * h", figures=figures, l=a, w=b, h=c)
    for first, second, last in ((a, b, c), (b, c, a), (a, c, b)):
        step = kept(first * second, max(figures, more), way)
        assert holds(inside, step * last)
        assert holds(inside, kept(first * second, figures, other) * last)


@settings(max_examples=50, deadline=None)
@given(_reading, _reading, _figures, _way)
def test_reciprocals_kept_with_care(a: float, b: float, figures: int, way: str) -> None:
    """1 ÷ (1 ÷ R₁ + 1 ÷ R₂) stands with each reciprocal written down, and with their sum written down."""
    inside = room("1 / (1 / a + 1 / b)", a=a, b=b)
    first, second = kept(1 / a, figures, way), kept(1 / b, figures, way)
    assert holds(inside, 1 / (first + second))
    assert holds(inside, 1 / kept(first + second, figures, way))


@settings(max_examples=50, deadline=None)
@given(st.decimals("0.05", "5", places=2).map(float), _figures, _way, st.sampled_from([3.14, 3.142, 22 / 7, math.pi]))
def test_any_pi_in_use_at_school(d: float, figures: int, way: str, pi: float) -> None:
    """The area of a wire stands with any usual pi, and with the square kept to 3 figures."""
    inside = room("pi * d**2 / 4", d=d)
    assert holds(inside, pi * d**2 / 4)
    assert holds(inside, pi * kept(d**2, figures, way) / 4)
    assert holds(inside, kept(pi * d**2, figures, way) / 4)


@settings(max_examples=50, deadline=None)
@given(_reading, _reading, _figures, _way)
def test_a_difference_kept_with_care(end: float, start: float, figures: int, way: str) -> None:
    """A difference of differences stands with each difference written down to 3 figures."""
    assume(abs(end - start) > 1)
    inside = room("(a - b) / 7", a=end, b=start)
    assert holds(inside, kept(end - start, figures, way) / 7)
    assert holds(inside, (end - start) / 7)


def test_any_value_of_a_constant_in_use() -> None:
    """Where a constant may be 9.8, 9.81 or 10, an answer by any of them is inside."""
    env = exactly(m=0.235) | {"g": (np.array([[9.8]]), np.array([[10.0]]))}
    low, high = careful_interval(parse_formula("m * g"), env, Care(figures=np.array([[3]])))
    for g in (9.8, 9.81, 10.0):
        assert holds((float(low[0, 0]), float(high[0, 0])), 0.235 * g)


@pytest.mark.parametrize(
    ("text", "values", "value", "share"),
    [
        ("V / I", {"V": 3.0, "I": 0.4}, 7.5, 0.0),
        ("T_end - T_start", {"T_end": 41.5, "T_start": 20.0}, 21.5, 0.0),
        ("E / (m * dT)", {"E": 20400.0, "m": 0.998, "dT": 21.5}, 950.73, 0.01),
        ("1 / (1 / a + 1 / b)", {"a": 10.0, "b": 15.0}, 6.0, 0.015),
        ("l * w * h", {"l": 4.05, "w": 3.02, "h": 1.98}, 24.217, 0.006),
        ("4 * pi**2 * L / T**2", {"L": 0.75, "T": 1.74}, 9.7796, 0.03),
    ],
    ids=["one-division", "one-difference", "two-steps", "reciprocals", "volume", "pendulum"],
)
def test_no_more_room_than_care_needs(text: str, values: dict[str, float], value: float, share: float) -> None:
    """The room follows from the steps: none for a single operation, about half a per cent for each step kept."""
    care = Care(figures=np.array([[3]]))
    ends = careful_interval(parse_formula(text), exactly(**values), care)
    low, high = float(ends[0][0, 0]), float(ends[1][0, 0])
    assert low * (1 - 1e-5) <= value <= high * (1 + 1e-5)
    assert (value - low) / value <= share + 1e-5
    assert (high - value) / value <= share + 1e-5


def test_two_figures_give_more_room_than_three() -> None:
    """Readings of two figures let a step be kept to two."""
    coarse, fine = room("a * b / c", figures=2, a=1.5, b=7.1, c=3.3), room("a * b / c", a=1.5, b=7.1, c=3.3)
    assert coarse[0] < fine[0] < fine[1] < coarse[1]
    assert holds(coarse, 11 / 3.3)
    assert not holds(fine, 11 / 3.3)


def test_missing_reading_gives_no_room() -> None:
    """With a reading missing there is nothing to compare with, for that student alone."""
    env = {"a": (np.array([[1.0], [np.nan]]),) * 2, "b": (np.array([[2.0], [2.0]]),) * 2}
    low, high = careful_interval(parse_formula("a * b / (a + b)"), env, Care(figures=np.array([[3], [3]])))
    assert np.isfinite(low[:, 0]).tolist() == np.isfinite(high[:, 0]).tolist() == [True, False]


X = np.array([[0.1, 0.2, 0.3, 0.4, 0.5, 0.6]])
SCATTER = np.array([[0.01, -0.012, 0.008, -0.01, 0.012, -0.008]])


def line_room(text: str, y: np.ndarray[tuple[int, int], np.dtype[np.float64]]) -> tuple[float, float]:
    """Return where careful values off a line of *y* against X lie."""
    low, high = careful_interval(parse_formula(text), {"x": (X, X), "y": (y, y)}, Care(figures=np.array([[3]])))
    return float(low[0, 0]), float(high[0, 0])


def test_a_line_drawn_by_hand_has_room() -> None:
    """A gradient may be a twentieth steeper or flatter than the fitted one, and no more where the points are good."""
    low, high = line_room("slope(y, x)", 5 * X + 0.1 + 0.1 * SCATTER)
    assert (low, high) == pytest.approx((5 * (1 - DRAWN_SHARE), 5 * (1 + DRAWN_SHARE)), rel=0.01)


def test_scattered_points_give_a_line_more_room() -> None:
    """Two standard errors, where they are more than a twentieth."""
    low, high = line_room("slope(y, x)", 0.5 * X + 5 * SCATTER)
    assert high - low > 2 * DRAWN_SHARE * 0.5 * 1.5


def test_a_line_may_leave_out_an_anomaly_or_not() -> None:
    """With a clear anomaly both lines are inside: the one that keeps it and the one that leaves it out."""
    y = 5 * X + 0.1 * SCATTER
    y[0, 5] += 1.2
    kept_in = float(np.polyfit(X[0], y[0], 1)[0])
    low, high = line_room("slope(y, x)", y)
    assert holds((low, high), 5.0)
    assert holds((low, high), kept_in)
    assert kept_in > 5.5


def test_intercept_has_the_room_of_reading_off_an_axis() -> None:
    """An intercept near nought still has the room of half a small square."""
    low, high = line_room("intercept(y, x)", 5 * X)
    assert low == pytest.approx(-high)
    assert 0.02 < high < 0.1


@pytest.mark.parametrize(
    ("text", "drawn"), [("slope(y, x)", True), ("4 / intercept(y, x)", True), ("mean(y)", False), ("x / y", False)]
)
def test_what_is_taken_off_a_line_is_known(text: str, drawn: bool) -> None:
    """Only what is taken off a drawn line has the room of drawing."""
    assert is_drawn(parse_formula(text)) is drawn


def test_hull_passes_over_what_is_missing() -> None:
    """The hull of ways to an answer is that of the ways that lead somewhere."""
    nan = np.array([[np.nan]])
    low, high = hull((nan, nan), (np.array([[1.0]]), np.array([[2.0]])), (np.array([[0.5]]), np.array([[0.7]])))
    assert (float(low[0, 0]), float(high[0, 0])) == (0.5, 2.0)

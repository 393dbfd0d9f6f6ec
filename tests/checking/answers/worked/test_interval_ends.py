"""Where the ends of a careful interval stand: worked out by hand, part by part of a formula, and sampled inside."""

from __future__ import annotations

import math
import warnings

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marking.checking.answers.worked.careful import Care, Interval, careful_interval
from marking.checking.answers.worked.evaluation import evaluate
from rubrics.formulas.formula import parse_formula

Ends = tuple[float, float]
ALL_FIGURES = 12
"""So many that a step kept to them is, for these tests, the step as it is."""


def between(text: str, /, *, figures: int = ALL_FIGURES, **ends: Ends | float) -> Ends:
    """Return where careful answers by the formula *text* lie, of one student with single items."""
    pairs = {name: one if isinstance(one, tuple) else (one, one) for name, one in ends.items()}
    env = {name: (np.array([[low]]), np.array([[high]])) for name, (low, high) in pairs.items()}
    low, high = careful_interval(parse_formula(text), env, Care(figures=np.array([[figures]])))
    assert low.shape == high.shape == (1, 1)
    return float(low[0, 0]), float(high[0, 0])


def columns(text: str, care: Care | None = None, /, **ends: tuple[list[float], list[float]] | list[float]) -> Ends:
    """Return where careful answers of one student by a formula of columns lie."""
    pairs = {name: one if isinstance(one, tuple) else (one, one) for name, one in ends.items()}
    env: dict[str, Interval] = {name: (np.array([low]), np.array([high])) for name, (low, high) in pairs.items()}
    low, high = careful_interval(parse_formula(text), env, care or Care(figures=np.array([[ALL_FIGURES]])))
    assert low.shape == high.shape == (1, 1)
    return float(low[0, 0]), float(high[0, 0])


MISSING = (math.nan, math.nan)


@pytest.mark.parametrize(
    ("text", "inputs", "wanted"),
    [
        ("-a", {"a": (2, 3)}, (-3, -2)),
        ("-(a - b)", {"a": (5, 6), "b": (1, 3)}, (-5, -2)),
        ("a + b", {"a": (2, 3), "b": (10, 20)}, (12, 23)),
        ("a - b", {"a": (2, 3), "b": (10, 20)}, (-18, -7)),
        ("a - b + d - e", {"a": (2, 3), "b": (10, 20), "d": (100, 200), "e": (1, 2)}, (80, 192)),
        ("a + 2", {"a": (2, 3)}, (4, 5)),
        ("2 - a", {"a": (2, 3)}, (-1, 0)),
        ("2 * a", {"a": (2, 3)}, (4, 6)),
        ("a * b", {"a": (2, 3), "b": (-1, 4)}, (-3, 12)),
        ("a * b", {"a": (-3, 2), "b": (-1, 4)}, (-12, 8)),
        ("a * b", {"a": (-1, 4), "b": (-3, 2)}, (-12, 8)),
        ("a * b", {"a": (-3, -2), "b": (-5, -4)}, (8, 15)),
        ("a / b", {"a": (8, 12), "b": (2, 4)}, (2, 6)),
        ("a / b", {"a": (8, 12), "b": (-4, -2)}, (-6, -2)),
        ("a / b", {"a": (8, 12), "b": (-1, 2)}, MISSING),
        ("a / b", {"a": (8, 12), "b": (0, 2)}, MISSING),
        ("a / b", {"a": (8, 12), "b": (-2, 0)}, MISSING),
        ("1 / a", {"a": (2, 4)}, (0.25, 0.5)),
        ("1 / a * b", {"a": (2, 4), "b": (8, 12)}, (2, 6)),
        ("1 / a * b * d", {"a": (2, 4), "b": (8, 12), "d": (10, 10)}, (20, 60)),
        ("1 / (a * b)", {"a": (2, 4), "b": (1, 5)}, (0.05, 0.5)),
        ("1 / a / b", {"a": (2, 4), "b": (1, 5)}, (0.05, 0.5)),
        ("a / (b * d)", {"a": (40, 80), "b": (2, 4), "d": (1, 5)}, (2, 40)),
        ("a / b / d * e", {"a": (40, 80), "b": (2, 4), "d": (1, 5), "e": (3, 3)}, (6, 120)),
        ("1 * 1", {}, (1, 1)),
        ("1 / 1 + a", {"a": (2, 3)}, (3, 4)),
        ("pi * a", {"a": 2}, (6.28, 44 / 7)),
        ("pi * 1", {}, (3.14, 22 / 7)),
        ("a**2", {"a": (2, 3)}, (4, 9)),
        ("a**2", {"a": (-3, -2)}, (4, 9)),
        ("a**2", {"a": (-1, 2)}, (0, 4)),
        ("a**2", {"a": (-3, 2)}, (0, 9)),
        ("a**2", {"a": (0.5, 0.8)}, (0.25, 0.64)),
        ("a**4", {"a": (-1, 2)}, (0, 16)),
        ("a**3", {"a": (-2, 1)}, (-8, 1)),
        ("a**3", {"a": (2, 3)}, (8, 27)),
        ("a**-2", {"a": (2, 4)}, (1 / 16, 1 / 4)),
        ("a**-1", {"a": (-4, -2)}, (-1 / 2, -1 / 4)),
        ("a**-2", {"a": (-1, 2)}, MISSING),
        ("abs(a)", {"a": (2, 3)}, (2, 3)),
        ("abs(a)", {"a": (-3, -2)}, (2, 3)),
        ("abs(a)", {"a": (-1, 2)}, (0, 2)),
        ("abs(a)", {"a": (-3, 2)}, (0, 3)),
        ("abs(a)", {"a": (0.5, 0.8)}, (0.5, 0.8)),
        ("abs(a - b)", {"a": (2, 3), "b": (5, 7)}, (2, 5)),
        ("abs(a * b)", {"a": (2, 3), "b": (-7, -5)}, (10, 21)),
        ("kelvin(a)", {"a": (293, 294)}, (292.85, 294)),
        ("kelvin(a * b)", {"a": (2, 3), "b": 100}, (199.85, 300)),
        ("sqrt(a)", {"a": (4, 9)}, (2, 3)),
        ("sqrt(a * b)", {"a": (2, 3), "b": (8, 27)}, (4, 9)),
        ("cos(a)", {"a": (0.5, 1.0)}, (math.cos(1.0), math.cos(0.5))),
        ("ln(a) + 1", {"a": (1, math.e)}, (1, 2)),
    ],
)
def test_ends_by_hand(text: str, inputs: dict[str, Ends | float], wanted: Ends) -> None:
    """With no figures dropped, the ends are those of interval arithmetic."""
    assert between(text, **inputs) == pytest.approx(wanted, rel=1e-9, abs=1e-9, nan_ok=True)


def test_more_factors_than_are_tried_in_every_order() -> None:
    """Eight factors: those past the sixth are taken in the order in which they stand, above or below the line."""
    ends: dict[str, Ends | float] = dict.fromkeys("abdefh", (1, 2))
    assert between("a * b * d * e * f * h * g", **ends, g=(3, 5)) == pytest.approx((3, 320))
    assert between("a * b * d * e * f * h * g / k", **ends, g=(3, 5), k=(2, 10)) == pytest.approx((0.3, 160))


def test_a_factor_of_one_is_no_step() -> None:
    """1 × a × b is worked as a × b, with no product of 1 and a on the way."""
    assert between("1 * a * b", figures=3, a=1.2345, b=7.0) == between("a * b", figures=3, a=1.2345, b=7.0)


@pytest.mark.parametrize(
    ("text", "inputs", "wanted"),
    [
        ("a * b", {"a": 409.6, "b": 2.0}, (818.0, 820.0)),
        ("1000.5 * a", {"a": 2.0}, (2001.0, 2001.0)),
        ("a + b", {"a": 12.34, "b": 5.678}, (18.018, 18.018)),
        ("a + b - d", {"a": 12.34, "b": 5.678, "d": 1.0}, (17.0, 17.02)),
        ("a + b - d + e", {"a": 12.34, "b": 5.678, "d": 1.0, "e": 0.0}, (16.9995, 17.0205)),
        ("sqrt(a * b)", {"a": 40.96, "b": 1.0}, (math.sqrt(40.8995), math.sqrt(41.0005))),
        ("abs(a * b)", {"a": 4.0961, "b": 1.0}, (4.09, 4.1)),
    ],
    ids=["a-reading", "a-number", "two-terms", "three-terms", "four-terms", "under-a-root", "no-step-in-bars"],
)
def test_what_is_kept_to_three_figures(text: str, inputs: dict[str, Ends | float], wanted: Ends) -> None:
    """A reading that is a factor may be rounded or cut; a number of the formula never is, nor is the last step."""
    assert between(text, figures=3, **inputs) == pytest.approx(wanted, rel=1e-12)


X = [0.1, 0.2, 0.3, 0.4, 0.5, 0.6]
ODD = [1.0, 1.1, 5.0]
WITHOUT = 1.05
WITH = 7.1 / 3


@pytest.mark.parametrize(
    ("text", "inputs", "wanted"),
    [
        ("mean(t)", {"t": ([1, 2, 3], [2, 3, 4])}, (2, 3)),
        ("mean(t)", {"t": ODD}, (WITHOUT, WITH)),
        ("first(t)", {"t": ([1, 2, 3], [2, 3, 5])}, (1, 2)),
        ("max(t)", {"t": ([1, 2, 3], [2, 3, 5])}, (3, 5)),
        ("median(t)", {"t": ([1, 2, 3], [2, 3, 5])}, (2, 3)),
        ("stdev(t)", {"t": ([1, 2, 3], [1, 2, 5])}, (math.sqrt(7 / 3), math.sqrt(7 / 3))),
        ("concordant(v, w)", {"v": [22.90, 23.05, 23.10], "w": ([0.1], [0.2])}, (22.975, 23.075)),
        (
            "concordant(v, w)",
            {"v": ([22.90, 23.05, 23.10], [22.92, 23.07, 23.12]), "w": ([0.1], [0.2])},
            (22.975, 23.095),
        ),
    ],
)
def test_columns_by_hand(
    text: str, inputs: dict[str, tuple[list[float], list[float]] | list[float]], wanted: Ends
) -> None:
    """A mean may leave an odd reading out; a spread and a rank come from the values as they are."""
    assert columns(text, **inputs) == pytest.approx(wanted)


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("mean(a, b)", [(1.5, 2.5), (15, 15)]),
        ("mean(2 * a, b)", [(2, 3.5), (20, 20)]),
        ("min(a, b)", [(1, 2), (10, 10)]),
        ("max(a, b)", [(2, 3), (20, 20)]),
        ("mean(d, e, f)", [(WITHOUT, WITH), (WITHOUT, WITH)]),
    ],
)
def test_along_a_row_by_hand(text: str, wanted: list[Ends]) -> None:
    """Each row of each student has its own mean, and a repeat that stands out may be left out of it."""
    env = {
        "a": (np.array([[1.0, 10.0]]), np.array([[2.0, 10.0]])),
        "b": (np.array([[2.0, 20.0]]), np.array([[3.0, 20.0]])),
        **{name: (np.full((1, 2), value),) * 2 for name, value in zip("def", ODD, strict=True)},
    }
    low, high = careful_interval(parse_formula(text), env, Care(figures=np.array([[ALL_FIGURES]])))
    found = [(float(one), float(other)) for one, other in zip(low[0], high[0], strict=True)]
    assert np.allclose(found, wanted)


def test_students_and_rows_keep_apart() -> None:
    """Numbers and pi are stretched over three students with four rows, and nothing runs over into another row."""
    a = np.arange(1.0, 13.0).reshape(3, 4)
    env = {"a": (a, a), "b": (np.array([[1.0], [2.0], [np.nan]]),) * 2}
    low, high = careful_interval(parse_formula("2 * a + b - 1"), env, Care(figures=np.full((3, 1), ALL_FIGURES)))
    wanted = 2 * a + np.array([[0.0], [1.0], [np.nan]])
    assert np.allclose(low, wanted, equal_nan=True)
    assert np.allclose(high, wanted, equal_nan=True)


def line(slope: float, intercept: float) -> dict[str, list[float]]:
    """Return the columns of points without scatter."""
    return {"x": X, "y": [slope * one + intercept for one in X]}


def test_a_line_that_gives_both_turns_about_its_middle() -> None:
    """Where gradient and intercept come off one line, the allowance is the intercept's and the gradient stays."""
    points = line(5, 1)
    low, high = columns("intercept(y, x)", **points)
    assert low < 1 < high
    assert columns("slope(y, x) - intercept(y, x)", **points) == pytest.approx((5 - high, 5 - low))
    assert columns("intercept(y, x) / slope(y, x)", **points) == pytest.approx((low / 5, high / 5))


def test_a_line_that_gives_its_gradient_alone_is_steeper_or_flatter() -> None:
    """A twentieth either way, once for each gradient."""
    points = line(5, 1)
    assert columns("slope(y, x)", **points) == pytest.approx((4.75, 5.25))
    assert columns("slope(y, x) + 1", **points) == pytest.approx((5.75, 6.25))
    assert columns("intercept(y, x) + 1", **points)[0] < 2


def test_the_line_is_that_of_the_middles() -> None:
    """Points with room are drawn in the middle of it."""
    y = [5 * one + 1 for one in X]
    ends = columns("slope(y, x)", x=X, y=(y, [2 * one for one in y]))
    assert ends == pytest.approx((7.5 * 0.95, 7.5 * 1.05))


def test_an_intercept_that_turns_with_its_line() -> None:
    """Drawn a twentieth steeper about the middle at 0.35, a line of gradient 5 meets the axis 0.0875 lower."""
    figures = np.array([[ALL_FIGURES]])
    still = columns("intercept(y, x)", Care(figures=figures), **line(5, 1))
    turning = columns("intercept(y, x)", Care(figures=figures, turns_about_middle=True), **line(5, 1))
    assert still[0] == pytest.approx(1 - 0.02 * 2.5)
    assert turning[0] == pytest.approx(1 - 0.05 * 5 * 0.35)


def test_a_wider_share_gives_a_wider_gradient() -> None:
    """The share that is handed in is the one that counts."""
    wide = Care(figures=np.array([[ALL_FIGURES]]), drawn_share=0.1)
    assert columns("slope(y, x)", wide, **line(5, 1)) == pytest.approx((4.5, 5.5))


def test_a_value_with_room_is_read_off_at_both_its_ends() -> None:
    """Read at 3 to 5 the straight line gives 30 to 50, each with the room of reading off."""
    time = [float(one) for one in range(10)]
    height = [10 * one for one in time]
    ends = [columns("at(h, t, v)", h=height, t=time, v=[value]) for value in (3.0, 5.0)]
    both = columns("at(h, t, v)", h=height, t=time, v=([3.0], [5.0]))
    assert both == pytest.approx((ends[0][0], ends[1][1]))
    assert both[0] <= 30 < 50 <= both[1]


def test_ranks_come_from_the_values_as_they_are() -> None:
    """1, 3.5 and 4.5 are first, second and third, whatever the ends of their intervals would be."""
    t = (np.array([[1.0, 3.0, 2.0]]), np.array([[1.0, 4.0, 7.0]]))
    low, high = careful_interval(parse_formula("rank(t)"), {"t": t}, Care(figures=np.array([[3]])))
    assert low.tolist() == high.tolist() == [[1, 2, 3]]


def test_division_by_nought_is_nobodys_warning() -> None:
    """What has no value is missing, and says nothing on the way."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert math.isnan(between("a / b", a=1.0, b=0.0)[0])
        assert math.isnan(between("sqrt(a)", a=-1.0)[0])


FORMULAS = (
    "a * b / d",
    "(a - b) / d",
    "a * b - d",
    "a**2 / b",
    "a**3 - b",
    "abs(a - b) * d",
    "1 / (1 / a + 1 / b)",
    "sqrt(a * b) / d",
    "mean(a, b, d)",
    "-a * b",
    "4 * a / d**2",
)
_around = st.tuples(st.floats(0.1, 50), st.floats(0, 0.3)).map(lambda one: (one[0], one[0] * (1 + one[1])))
_shares = st.tuples(*(st.floats(0, 1) for _ in range(3)))


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(FORMULAS), _around, _around, _around, _shares, st.integers(2, 5))
def test_whatever_is_inside_leads_inside(text: str, a: Ends, b: Ends, d: Ends, at: tuple[float, ...], n: int) -> None:
    """Any readings within their intervals lead to an answer within the interval of the answer."""
    low, high = between(text, figures=n, a=a, b=b, d=d)
    point = {
        name: np.array([[ends[0] + share * (ends[1] - ends[0])]])
        for name, ends, share in zip("abd", (a, b, d), at, strict=True)
    }
    value = float(evaluate(parse_formula(text).tree, point)[0, 0])
    noise = 1e-9 * (1 + abs(value))
    assert math.isnan(low) or low - noise <= value <= high + noise


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(FORMULAS), _around, _around, _around, st.integers(2, 5))
def test_fewer_figures_never_give_less_room(text: str, a: Ends, b: Ends, d: Ends, figures: int) -> None:
    """One who may keep fewer figures may arrive at all that one who keeps more may."""
    coarse = between(text, figures=figures, a=a, b=b, d=d)
    fine = between(text, figures=ALL_FIGURES, a=a, b=b, d=d)
    noise = 1e-9 * (1 + max(abs(one) for one in fine if not math.isnan(one))) if not math.isnan(fine[0]) else 0.0
    assert math.isnan(coarse[0]) or (coarse[0] <= fine[0] + noise and coarse[1] >= fine[1] - noise)
